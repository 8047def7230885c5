#include "halfarc/server/qr_text.h"

#include <qrcodegen.hpp>

namespace halfarc::server {
namespace {

constexpr int kQuietZone = 4;  // squares. Source: [QrCode2015].

}  // namespace

Result<std::string> qr_text(const std::string& text) {
  try {
    const auto code = qrcodegen::QrCode::encodeText(text.c_str(), qrcodegen::QrCode::Ecc::MEDIUM);
    const auto light = [&](int x, int y) { return !code.getModule(x, y); };  // light outside the code too
    const int last = code.getSize() + kQuietZone;
    std::string lines;
    for (int y = -kQuietZone; y < last; y += 2) {
      for (int x = -kQuietZone; x < last; ++x) {
        const bool above = light(x, y);
        const bool below = y + 1 < last && light(x, y + 1);
        lines += above ? (below ? "█" : "▀") : (below ? "▄" : " ");
      }
      lines += '\n';
    }
    return lines;
  } catch (const std::length_error&) {
    return bad_input("this is too long for a QR code", text, "type the address by hand");
  }
}

}  // namespace halfarc::server
