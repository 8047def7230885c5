#include "halfarc/app/doctor.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <chrono>

#include "halfarc/app/asked.h"
#include "halfarc/app/here.h"
#include "halfarc/app/owner_log.h"
#include "halfarc/base/atomic_file.h"
#include "halfarc/frames/library_versions.h"
#include "halfarc/logbook/schema.h"

namespace halfarc {
namespace {

namespace fs = std::filesystem;

constexpr const char* kBuilt =
#ifdef __clang__
    "clang " __clang_version__;
#else
    "g++ " __VERSION__;
#endif

Finding from_error(const char* subject, const Error& error) {
  const std::string where = error.where.empty() ? std::string() : error.where + ": ";
  return {subject, Health::fault, where + error.what, "certain: it was tried", error.to_do, {}};
}

Finding program(const std::string& version) {
  return {"halfarc",
          Health::good,
          fmt::format("halfarc {}, logbook {}, built with {}; {}", version, logbook_version(), kBuilt,
                      fmt::join(library_versions(), ", ")),
          "as they say themselves",
          {},
          {{"logbook", static_cast<double>(logbook_version()), std::nullopt, ""}}};
}

Finding cores(const Machine& machine) {
  return {"machine",
          Health::good,
          fmt::format("{} with {} cores for us", machine.system, machine.cores),
          "as the system says",
          {},
          {{"cores", static_cast<double>(machine.cores), std::nullopt, ""}}};
}

bool is_folder(const fs::path& path) {
  std::error_code ignored;
  return fs::is_directory(path, ignored);
}

// A file is begun there and taken away again: permissions alone do not tell (a read-only disk, a network folder).
Result<void> try_to_write(const fs::path& folder) {
  HALFARC_TRY([[maybe_unused]] const AtomicFile file, AtomicFile::create(folder / "halfarc-doctor"));
  return {};
}

Finding home_folder_finding(const fs::path& home) {
  if (home.empty())
    return {"home",
            Health::fault,
            "no home folder is known",
            "certain: no variable names one",
            "set HALFARC_HOME to a folder of yours",
            {}};
  if (!is_folder(home))
    return {"home", Health::caution, home.string() + " is not there yet", "certain", "run halfarc init", {}};
  if (const auto tried = try_to_write(home); !tried) {
    Finding finding = from_error("home", tried.error());
    finding.to_do = "make it writable, or set HALFARC_HOME to another folder";
    return finding;
  }
  return {"home", Health::good, home.string() + " can be written", "certain: it was tried", {}, {}};
}

Finding site_finding(const fs::path& home) {
  const auto site = site_of_home(home);
  if (!site) return from_error("site", site.error());
  if (!*site)
    return {"site",
            Health::caution,
            "no site.toml: the place is that of the examples",
            "certain",
            "run halfarc init --site LAT,LON,HEIGHT",
            {}};
  const NamedSite& place = **site;
  return {"site",
          Health::good,
          fmt::format("{} at {:.3f} N {:.3f} E, {:.0f} m", place.name.empty() ? "your place" : place.name,
                      place.site.latitude.deg(), place.site.longitude.deg(), place.site.height.m()),
          "as site.toml says",
          {},
          {}};
}

Finding rig_finding(const Result<std::optional<SolvedRig>>& rig) {
  if (!rig) return from_error("rig", rig.error());
  if (!*rig)
    return {"rig",
            Health::caution,
            "no rig.toml: the telescope is that of the examples",
            "certain",
            "run halfarc init, then edit rig.toml",
            {}};
  const SolvedRig& owned = **rig;
  return {"rig",
          Health::good,
          fmt::format("{:.0f} mm aperture, {:.3f}\" a pixel", owned.rig.telescope.aperture.mm(),
                      plate_scale(owned.rig, owned.train).arcsec_per_px()),
          "as rig.toml says; check --target measures the scale",
          {},
          {}};
}

// Damage that nobody has stumbled over yet is found by reading the whole file.
Result<Finding> look_into_logbook(const fs::path& file) {
  HALFARC_TRY(const Database raw, Database::open(file, Access::read));
  HALFARC_TRY(const std::int64_t version, raw.number("PRAGMA user_version"));
  if (version > 0 && version < logbook_version())
    return Finding{"logbook",
                   Health::caution,
                   fmt::format("{} is of version {}", file.string(), version),
                   "certain",
                   "write a note (halfarc log note): it is brought up to date, with a copy kept beside it",
                   {{"version", static_cast<double>(version), std::nullopt, ""}}};
  HALFARC_TRY(const Database book, open_logbook(file, Access::read));
  HALFARC_TRY(Statement check, book.ask("PRAGMA quick_check(1)"));
  HALFARC_TRY(const bool any, check.next());
  if (any && check.text(0) != "ok")
    return bad_input("is damaged: " + check.text(0), file.string(),
                     "move it away, with a copy; halfarc then begins a new one");
  HALFARC_TRY(const std::int64_t recordings, book.number("SELECT count(*) FROM recordings"));
  return Finding{"logbook",
                 Health::good,
                 fmt::format("{} is whole: version {}, {} recordings", file.string(), version, recordings),
                 "certain: every page was read",
                 {},
                 {{"version", static_cast<double>(version), std::nullopt, ""},
                  {"recordings", static_cast<double>(recordings), std::nullopt, ""}}};
}

Finding logbook_finding(const fs::path& home) {
  const fs::path file = logbook_of_home(home);
  std::error_code ignored;
  if (home.empty() || !fs::exists(file, ignored))
    return {"logbook", Health::good, "none yet: the first check, turn or note begins it", "certain", {}, {}};
  const auto found = look_into_logbook(file);
  return found ? *found : from_error("logbook", found.error());
}

Finding recordings_finding(const DoctorRequest& request) {
  const bool is_own = request.recordings.empty();
  const fs::path folder = is_own ? request.home / "recordings" : request.recordings;
  if (!is_folder(folder) && is_own)
    return {"recordings",
            Health::unknown,
            "no folder of recordings was named",
            "certain",
            "say --watch DIR, the folder into which your camera program writes",
            {}};
  if (!is_folder(folder))
    return {"recordings",
            Health::fault,
            folder.string() + " is no folder",
            "certain",
            "name the folder into which your camera program writes",
            {}};
  if (const auto tried = try_to_write(folder); !tried) {
    Finding finding = from_error("recordings", tried.error());
    finding.health = Health::caution;  // halfarc only reads there; the camera program may have other rights
    finding.to_do = "see that the camera program may write there";
    return finding;
  }
  return {"recordings", Health::good, folder.string() + " can be written", "certain: it was tried", {}, {}};
}

// Where the recordings will lie, as far as that is there: the folder that was named, else home or what is above it.
fs::path disk_to_try(const DoctorRequest& request) {
  fs::path folder = request.recordings.empty() ? request.home / "recordings" : request.recordings;
  while (!is_folder(folder) && folder.has_parent_path() && folder != folder.parent_path())
    folder = folder.parent_path();
  return is_folder(folder) ? folder : fs::path(".");
}

void add_disk(const DoctorRequest& request, const DataRate& rate, std::vector<Finding>& findings) {
  const fs::path folder = disk_to_try(request);
  if (!request.try_disk) {
    findings.push_back({"disk", Health::unknown, "its speed was not tried", "as asked", {}, {}});
  } else {
    const auto speed = measure_disk_speed(folder);
    findings.push_back(speed ? judge_disk(*speed, rate, folder) : from_error("disk", speed.error()));
  }
  std::error_code problem;
  const fs::space_info space = fs::space(folder, problem);
  if (!problem) findings.push_back(judge_room(static_cast<double>(space.available), rate, folder));
}

// When a file of the home folder was written last.
std::optional<Utc> newest_file(const fs::path& home) {
  std::optional<Utc> newest;
  std::error_code problem;
  for (fs::directory_iterator at(home, problem), end; !problem && at != end; at.increment(problem)) {
    const auto written = at->last_write_time(problem);
    if (problem) break;
    const auto since = std::chrono::file_clock::to_sys(written).time_since_epoch();
    const Utc when = Utc::unix_ns(std::chrono::duration_cast<std::chrono::nanoseconds>(since).count());
    newest = newest ? std::max(*newest, when) : when;
  }
  return newest;
}

// The pages use no font of their own: whoever shows them brings one.
Finding fonts_finding(const std::vector<fs::path>& folders) {
  constexpr int kEnough = 10'000;
  int count = 0;
  for (const fs::path& folder : folders) {
    std::error_code problem;
    for (fs::recursive_directory_iterator at(folder, fs::directory_options::skip_permission_denied, problem), end;
         !problem && at != end && count < kEnough; at.increment(problem)) {
      const std::string kind = at->path().extension().string();
      if (kind == ".ttf" || kind == ".otf" || kind == ".ttc" || kind == ".pfb") ++count;
    }
  }
  Finding finding{"fonts",
                  Health::good,
                  fmt::format("{} font files here for pages and reports", count),
                  "counted in the usual folders; a phone uses its own fonts",
                  {},
                  {{"files", static_cast<double>(count), std::nullopt, ""}}};
  if (count == 0) {
    finding.health = Health::unknown;
    finding.to_do = "if pages are shown or printed on this machine, install a font (for instance fonts-liberation)";
  }
  return finding;
}

Result<Region> region_of(const std::string& words, const Detector& camera) {
  return words.empty() ? Result<Region>(Region{}) : parse_region(words, camera);
}

}  // namespace

Result<std::vector<Finding>> examine(const DoctorRequest& request) {
  const Machine machine = this_machine();
  const auto rig = solved_rig_of_home(request.home);
  const Detector camera = rig && *rig ? (*rig)->rig.camera : example_rig().camera;
  HALFARC_TRY(const Region region, region_of(request.region, camera));
  const DataRate rate = planned_rate(camera, region, request.frames_per_s);

  std::vector<Finding> findings = {program(request.version), cores(machine), judge_memory(machine.memory)};
  findings.push_back(home_folder_finding(request.home));
  findings.push_back(site_finding(request.home));
  findings.push_back(rig_finding(rig));
  findings.push_back(logbook_finding(request.home));
  findings.push_back(recordings_finding(request));
  add_disk(request, rate, findings);
  findings.push_back(judge_clock(read_kernel_clock(), request.now, newest_file(request.home)));
  findings.push_back(fonts_finding(request.font_folders));
  return findings;
}

}  // namespace halfarc
