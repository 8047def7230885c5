// Survey: a look at a few frames spread over a recording, before anything is said about its samples.
#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <string>
#include <vector>

#include "halfarc/base/result.h"
#include "halfarc/frames/byte_order.h"
#include "halfarc/frames/recording.h"
#include "halfarc/frames/significant_bits.h"

namespace halfarc {

// Up to five frame numbers, first and last among them, in ascending order.
std::vector<std::size_t> frames_to_survey(std::size_t frames);

// Fills `into` with samples of one frame from `skip` bytes on.
using ReadPart = std::function<Result<void>(std::size_t frame, std::size_t skip, std::span<std::byte> into)>;

// Shows `look` the samples of the surveyed frames. Of frames above 8 MiB only the middle 8 MiB are read.
Result<void> survey(const RecordingInfo& info, const ReadPart& read,
                    const std::function<void(std::span<const std::byte>)>& look);

// The range of 16-bit samples that `read` hands out in the order of this machine.
Result<SampleRange> survey_range(const RecordingInfo& info, const ReadPart& read);

// The byte order of 16-bit samples that `read` hands out as they lie in the file; info.bits is what the header says.
Result<ByteOrderVote::Verdict> survey_byte_order(const RecordingInfo& info, const ReadPart& read);

}  // namespace halfarc
