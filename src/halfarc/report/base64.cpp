#include "halfarc/report/base64.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>

namespace halfarc {

std::string base64(std::string_view bytes) {
  constexpr std::string_view alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t here = std::min<std::size_t>(3, bytes.size() - i);
    std::uint32_t bits = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      bits = bits << 8U | (k < here ? static_cast<std::uint32_t>(static_cast<unsigned char>(bytes[i + k])) : 0U);
    }
    for (std::size_t k = 0; k < 4; ++k) text += k <= here ? alphabet[bits >> (18U - 6U * k) & 63U] : '=';
  }
  return text;
}

}  // namespace halfarc
