// DoctorJudgement: what the facts about a machine mean for a night of recording. Each finding says what was found, how
// sure that is, and what to do when it is not well.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/base/disk_speed.h"
#include "halfarc/base/kernel_clock.h"
#include "halfarc/base/machine.h"
#include "halfarc/base/utc.h"
#include "halfarc/optics/detector.h"

namespace halfarc {

enum class Health {
  good,
  unknown,  // nobody here can tell
  caution,  // works, but look at it
  fault,    // will spoil a night
};

struct FindingNumber {
  std::string name;
  double value = 0.0;
  std::optional<double> sigma;  // where it was measured
  std::string unit;
};

struct Finding {
  std::string subject;  // "disk"
  Health health = Health::good;
  std::string what;
  std::string sure;   // where it comes from, and how far that goes
  std::string to_do;  // empty when all is well
  std::vector<FindingNumber> numbers;
};

// The worst of them, where unknown counts as good.
Health worst(const std::vector<Finding>& findings);

// What a recording brings. Source: optics/detector.h.
struct DataRate {
  Region region;
  double frames_per_s = 0.0;
  double bytes_per_s = 0.0;
};
// Valid: frames_per_s above 0 where it is given. Source: optics/detector.h, with frames of 5 ms (common practice).
DataRate planned_rate(const Detector& camera, Region region, std::optional<double> frames_per_s);

// Good when the slowest piece keeps up; caution when only the mean does; a fault when the mean is below by more than
// two standard errors.
Finding judge_disk(const DiskSpeed& speed, const DataRate& rate, const std::filesystem::path& folder);

// Room for an evening: twelve runs of three minutes (common practice).
Finding judge_room(double free_bytes, const DataRate& rate, const std::filesystem::path& folder);

// Times of frames matter to a second: Jupiter turns by 0.01 deg meanwhile (its period of 9 h 55 min). `newest` is when
// a file of the home folder was written last.
Finding judge_clock(const std::optional<KernelClock>& clock, Utc now, std::optional<Utc> newest);

Finding judge_memory(const std::optional<MemorySize>& memory);

}  // namespace halfarc
