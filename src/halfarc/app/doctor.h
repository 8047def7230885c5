// Doctor: whether this machine and the home folder are fit for a night. The use case behind `halfarc doctor`.
//
// Nothing is changed; the trial of the disk leaves nothing behind. No network is asked.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "halfarc/app/doctor_judgement.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"

namespace halfarc {

struct DoctorRequest {
  std::filesystem::path home;
  std::filesystem::path recordings;    // into which the camera program writes; empty: those of the home folder
  std::string region;                  // "640x480"; empty: that
  std::optional<double> frames_per_s;  // nothing: what the rig's camera gives at 5 ms
  bool try_disk = true;
  std::vector<std::filesystem::path> font_folders;
  std::string version;
  Utc now;
};

// Errors (bad input): a region that the rig's sensor does not have.
Result<std::vector<Finding>> examine(const DoctorRequest& request);

}  // namespace halfarc
