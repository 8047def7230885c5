// A QR code for a dark terminal: two rows of squares a line, in half blocks, light on dark with its quiet zone, so that
// a phone reads it off the screen.
#pragma once

#include <string>

#include "halfarc/base/result.h"

namespace halfarc::server {

// Errors: a text too long for a QR code (bad input).
Result<std::string> qr_text(const std::string& text);

}  // namespace halfarc::server
