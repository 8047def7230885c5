#include "halfarc/app/doctor_judgement.h"

#include <fmt/format.h>

#include <algorithm>

namespace halfarc {
namespace {

constexpr double kUsualExposure_s = 0.005;
constexpr double kEvening_min = 12.0 * 3.0;
constexpr double kClockMatters_s = 1.0;
constexpr double kFewMemory = 1e9;  // bytes

std::string mb(double bytes) { return fmt::format("{:.0f} MB", bytes * 1e-6); }

}  // namespace

Health worst(const std::vector<Finding>& findings) {
  Health found = Health::good;
  for (const Finding& finding : findings)
    if (finding.health != Health::unknown) found = std::max(found, finding.health);
  return found;
}

DataRate planned_rate(const Detector& camera, Region region, std::optional<double> frames_per_s) {
  const double rate = frames_per_s ? *frames_per_s : frame_rate(camera, region, Duration::s(kUsualExposure_s)).per_s;
  return {region, rate, rate * frame_bytes(camera, region)};
}

Finding judge_disk(const DiskSpeed& speed, const DataRate& rate, const std::filesystem::path& folder) {
  const auto& write = speed.write_bytes_per_s;
  Finding finding{"disk", Health::good, {}, {}, {}, {}};
  finding.what =
      fmt::format("{} takes {:.0f} +- {:.0f} MB/s, at its slowest {}/s; {}x{} at {:.0f} frames/s bring {}/s",
                  folder.string(), write.value * 1e-6, write.sigma * 1e-6, mb(speed.slowest_write_bytes_per_s),
                  rate.region.width, rate.region.height, rate.frames_per_s, mb(rate.bytes_per_s));
  finding.sure =
      fmt::format("measured with {} brought to the medium; a disk can slow down after more", mb(speed.tried_bytes));
  finding.numbers = {{"write", write.value * 1e-6, write.sigma * 1e-6, "MB/s"},
                     {"slowest_write", speed.slowest_write_bytes_per_s * 1e-6, std::nullopt, "MB/s"},
                     {"planned", rate.bytes_per_s * 1e-6, std::nullopt, "MB/s"},
                     {"tried", speed.tried_bytes * 1e-6, std::nullopt, "MB"}};
  if (const auto& read = speed.read_bytes_per_s) {
    finding.what += fmt::format("; it gives {:.0f} +- {:.0f} MB/s", read->value * 1e-6, read->sigma * 1e-6);
    finding.numbers.push_back({"read", read->value * 1e-6, read->sigma * 1e-6, "MB/s"});
  } else {
    finding.sure += "; how fast it reads is unknown: memory answered";
  }
  if (write.value + 2.0 * write.sigma < rate.bytes_per_s) {
    finding.health = Health::fault;
    finding.to_do = "record a smaller region or fewer frames a second, or onto a faster disk: frames would be lost";
  } else if (speed.slowest_write_bytes_per_s < rate.bytes_per_s) {
    finding.health = Health::caution;
    finding.to_do = "watch the camera program's count of lost frames, or record a smaller region";
  }
  if (speed.is_memory) {
    finding.health = std::max(finding.health, Health::caution);
    finding.sure += "; the folder lies in memory, not on a disk";
    finding.to_do = "record onto a disk: what lies in memory is gone with the power";
  }
  return finding;
}

Finding judge_room(double free_bytes, const DataRate& rate, const std::filesystem::path& folder) {
  const double minutes = free_bytes / rate.bytes_per_s / 60.0;
  Finding finding{"room", Health::good, {}, "as the file system says now", {}, {}};
  finding.what = fmt::format("{:.1f} GB are free in {}: {:.0f} minutes of such recording", free_bytes * 1e-9,
                             folder.string(), minutes);
  finding.numbers = {{"free", free_bytes * 1e-9, std::nullopt, "GB"}, {"recording", minutes, std::nullopt, "min"}};
  if (minutes < kEvening_min) {
    finding.health = Health::caution;
    finding.to_do = fmt::format("free some: an evening of twelve runs is {:.0f} minutes", kEvening_min);
  }
  return finding;
}

Finding judge_clock(const std::optional<KernelClock>& clock, Utc now, std::optional<Utc> newest) {
  Finding finding{"clock", Health::unknown, {}, {}, {}, {}};
  const std::string time = now.iso(0);
  if (newest && (*newest - now).s() > kClockMatters_s) {
    const double back = (*newest - now).s();
    finding.health = Health::fault;
    finding.what = fmt::format("{}; a file of the home folder was written {:.0f} s later than that", time, back);
    finding.sure = "certain: the clock has gone back, or was ahead then";
    finding.to_do = "set the clock before recording";
    finding.numbers = {{"behind_newest_file", back, std::nullopt, "s"}};
    return finding;
  }
  if (!clock || !clock->held) {
    finding.what = time + "; how far that is off is unknown";
    finding.sure = clock ? "the system says that no time service holds its clock" : "the system does not tell";
    finding.to_do = "let a time service run, or set the clock by a radio clock or a satellite receiver to the second";
    return finding;
  }
  const double most = clock->most_error.s();
  finding.health = most <= kClockMatters_s ? Health::good : Health::caution;
  finding.what = fmt::format("{}; off by at most {:.3f} s", time, most);
  finding.sure = "as the time service told the system; nothing else was asked";
  finding.numbers = {{"most_error", most, std::nullopt, "s"},
                     {"usual_error", clock->usual_error.s(), std::nullopt, "s"}};
  if (finding.health == Health::caution)
    finding.to_do = "give the time service a connection for a while: longitudes want the second";
  return finding;
}

Finding judge_memory(const std::optional<MemorySize>& memory) {
  if (!memory) return {"memory", Health::unknown, "its size is unknown", "the system does not tell", {}, {}};
  Finding finding{"memory", Health::good, {}, "as the system says now", {}, {}};
  finding.what = fmt::format("{:.1f} of {:.1f} GB available", memory->available * 1e-9, memory->all * 1e-9);
  finding.numbers = {{"available", memory->available * 1e-9, std::nullopt, "GB"},
                     {"all", memory->all * 1e-9, std::nullopt, "GB"}};
  if (memory->available < kFewMemory) {
    finding.health = Health::caution;
    finding.to_do = "close other programs before making images of large regions";
  }
  return finding;
}

}  // namespace halfarc
