// DiskSpeed: how fast a folder takes and gives bytes, tried with a file of its own that has no name (nothing is left
// behind, however we end).
//
// Numbers that no file system can shrink are written in pieces, each brought to the medium (fdatasync) before the next,
// so that memory lends no speed. Before reading, the system is asked to forget the pages, and whether it did is looked
// at (mincore): otherwise there is no reading speed.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <span>

#include "halfarc/base/duration.h"
#include "halfarc/base/measured.h"
#include "halfarc/base/result.h"

namespace halfarc {

struct DiskTrial {
  std::size_t piece = std::size_t{16} << 20;  // bytes
  std::size_t most = std::size_t{256} << 20;  // bytes; and never more than a tenth of what is free
  Duration longest = Duration::s(3.0);        // no new piece afterwards, once there are three
};

struct DiskSpeed {
  Measured<double> write_bytes_per_s;
  double slowest_write_bytes_per_s = 0.0;            // of a piece
  std::optional<Measured<double>> read_bytes_per_s;  // nothing where memory answered instead of the disk
  double tried_bytes = 0.0;
  double free_bytes = 0.0;
  bool is_memory = false;  // the folder lies in memory: what is recorded there is gone with the power
};

// Valid: any folder that may be written. Accuracy: the scatter of the pieces; a disk that slows down when its own
// buffer is full or that is warm shows it only to longer trials. Source: definition.
// Errors: the folder cannot be written, or has no room for the trial.
Result<DiskSpeed> measure_disk_speed(const std::filesystem::path& folder, const DiskTrial& trial = {});

// Amount over time, from the seconds of n equal pieces: the rate, and its standard error from their scatter.
// Valid: at least two pieces. Accuracy: first order in the scatter. Source: propagation of errors.
Measured<double> rate_of_pieces(double bytes_a_piece, std::span<const double> seconds);

}  // namespace halfarc
