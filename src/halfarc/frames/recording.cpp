#include "halfarc/frames/recording.h"

#include <fmt/format.h>

namespace halfarc {

Result<void> Recording::check_range(std::size_t first, std::size_t count, std::span<std::byte> into) const {
  if (first > info_.frames || count > info_.frames - first) {
    return bad_input(fmt::format("frames {} to {} were asked for but it holds {}", first, first + count, info_.frames),
                     info_.path.string(), "ask for frames it holds");
  }
  if (into.size() != count * info_.bytes_per_frame()) {
    return failed(fmt::format("a buffer of {} bytes cannot hold {} frames", into.size(), count), info_.path.string(),
                  "this is a mistake in halfarc");
  }
  return {};
}

}  // namespace halfarc
