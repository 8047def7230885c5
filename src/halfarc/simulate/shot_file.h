// Shot files: a recording to be simulated, described in TOML by its owner.
//
// Sections: the top (name, seed), [telescope] with [[telescope.move]], [telescope.plume] and [telescope.dew], [camera]
// with
// [[camera.dust]], [body] with [[body.moon]], [light], [air] with [[air.layer]], [dispersion], [pointing] with
// [pointing.periodic], [pointing.wind], [[pointing.key]] and [[pointing.nudge]], [timing]. Every key is optional and
// stands at the value of our scenario otherwise; a key that is not known, a value of the wrong kind or out of range is
// refused, with its name and line. examples/scenes/ holds files with a comment at every key.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "halfarc/base/result.h"
#include "halfarc/simulate/exposure.h"

namespace halfarc {

// Errors: not TOML; unknown key; wrong kind; a value no shot can have. `name` is what the message calls the text.
Result<ShotSpec> parse_shot(std::string_view toml, std::string_view name);

// Errors: as above, and no such file.
Result<ShotSpec> read_shot_file(const std::filesystem::path& path);

// The whole shot as a shot file, every key written out. parse_shot() gives the same shot back.
std::string shot_as_toml(const ShotSpec& shot);

}  // namespace halfarc
