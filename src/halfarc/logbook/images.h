// Images: what was made, from which recordings, and how fine its detail is.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "halfarc/logbook/database.h"

namespace halfarc {

struct ImageRow {
  std::int64_t id = 0;
  std::int64_t night = 0;
  Utc utc;  // middle of the frames used
  std::string path;
  std::int64_t frames_read = 0, frames_used = 0;
  std::optional<double> resolved_arcsec, resolved_sigma;  // period of the finest detail that two halves agree on
};

// Adds it with the recordings it was made from; an image of the same path is replaced, as its file was.
// Errors: a recording that is not there; those of the file.
Result<std::int64_t> put_image(Database& database, const ImageRow& image, std::span<const std::int64_t> recordings);

// The recordings that it was made from. Errors: those of the file.
Result<std::vector<std::int64_t>> runs_of(const Database& database, std::int64_t image);

// Those of one night, by time. Errors: those of the file.
Result<std::vector<ImageRow>> images_of(const Database& database, std::int64_t night);

}  // namespace halfarc
