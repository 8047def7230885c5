#include "halfarc/frames/fits_guard.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "halfarc/frames/fits_blocks.h"

namespace halfarc {
namespace {

constexpr std::size_t kCard = 80;
constexpr int kMostHeaders = 128;
constexpr int kMostBlocksOfAHeader = 4096;
constexpr std::int64_t kMostColumns = 999;

using Numbers = std::map<std::string, std::int64_t, std::less<>>;

// The integer of a card "KEYWORD =   123 / comment", or nothing.
std::optional<std::int64_t> integer_of(std::string_view card) {
  if (card.substr(8, 1) != "=") return std::nullopt;
  card.remove_prefix(9);
  card.remove_prefix(std::min(card.find_first_not_of(' '), card.size()));
  if (!card.empty() && card.front() == '+') card.remove_prefix(1);
  card = card.substr(0, card.find_first_of(" /"));
  std::int64_t value = 0;
  const auto parsed = std::from_chars(card.data(), card.data() + card.size(), value);
  // A number too large for 64 bits is as good as the largest.
  if (parsed.ec == std::errc::result_out_of_range) return INT64_MAX;
  if (parsed.ec != std::errc{} || parsed.ptr != card.data() + card.size()) return std::nullopt;
  return value;
}

std::string_view key_of(std::string_view card) {
  return card.substr(0, std::min<std::size_t>(card.find_first_of(" ="), 8));
}

// The first block of a table's header: its mandatory keywords with values that can be.
bool is_sound_table(std::string_view block) {
  constexpr std::array<std::string_view, 7> kOrder = {"BITPIX", "NAXIS",  "NAXIS1", "NAXIS2",
                                                      "PCOUNT", "GCOUNT", "TFIELDS"};
  for (std::size_t i = 0; i < kOrder.size(); ++i) {
    const std::string_view card = block.substr((i + 1) * kCard, kCard);
    const auto value = integer_of(card);
    if (key_of(card) != kOrder[i] || !value || *value < 0 || *value == INT64_MAX) return false;
    if (kOrder[i] == "TFIELDS" && *value > kMostColumns) return false;
  }
  return true;
}

bool is_table(std::string_view block) {
  return block.substr(0, 8) == "XTENSION" && block.substr(0, kCard).find("TABLE") != std::string_view::npos;
}

struct Header {
  Numbers numbers;
  std::uint64_t end = 0;  // where its data begin
  bool is_damaged_table = false;
};

// The integers of the header at `offset`; nothing where there is no whole header.
std::optional<Header> header_at(const InputFile& file, std::uint64_t offset) {
  Header header;
  std::array<char, kFitsBlock> block;
  for (int blocks = 0; blocks < kMostBlocksOfAHeader; ++blocks, offset += kFitsBlock) {
    if (offset > file.size() || file.size() - offset < kFitsBlock) return std::nullopt;
    if (!file.read(offset, std::as_writable_bytes(std::span(block)))) return std::nullopt;
    const std::string_view text(block.data(), block.size());
    if (blocks == 0) header.is_damaged_table = is_table(text) && !is_sound_table(text);
    if (header.is_damaged_table) return header;
    for (std::size_t at = 0; at < kFitsBlock; at += kCard) {
      const std::string_view card = text.substr(at, kCard);
      const std::string_view key = key_of(card);
      if (const auto value = integer_of(card)) header.numbers.emplace(key, *value);
      if (key != "END") continue;
      header.end = offset + kFitsBlock;
      return header;
    }
  }
  return std::nullopt;
}

// Bytes of data behind a header, by FITS 4.0 equation 2; nothing if they exceed any file.
std::optional<std::uint64_t> data_bytes(const Numbers& numbers) {
  const auto number = [&](std::string_view key, std::int64_t otherwise) {
    const auto found = numbers.find(key);
    return found == numbers.end() ? otherwise : found->second;
  };
  const std::int64_t axes = number("NAXIS", 0);
  if (axes <= 0) return 0;
  if (axes > 999) return std::nullopt;
  std::int64_t elements = 1;
  for (std::int64_t i = 1; i <= axes; ++i) {
    if (__builtin_mul_overflow(elements, number("NAXIS" + std::to_string(i), 0), &elements)) return std::nullopt;
  }
  std::int64_t bytes = 0;
  if (__builtin_add_overflow(elements, number("PCOUNT", 0), &bytes)) return std::nullopt;
  if (__builtin_mul_overflow(bytes, number("GCOUNT", 1), &bytes)) return std::nullopt;
  const std::int64_t bits = number("BITPIX", 8);
  if (bits == INT64_MIN || bits == INT64_MAX) return std::nullopt;
  if (__builtin_mul_overflow(bytes, (bits < 0 ? -bits : bits) / 8, &bytes) || bytes < 0) return std::nullopt;
  return static_cast<std::uint64_t>(bytes);
}

}  // namespace

Result<void> guard_fits_headers(const InputFile& file) {
  std::uint64_t offset = 0;
  for (int i = 0; i < kMostHeaders; ++i) {
    const auto header = header_at(file, offset);
    if (!header) return {};
    if (header->is_damaged_table) {
      return bad_input("holds a table with a damaged header", file.path().string(), "record or copy it again");
    }
    const auto bytes = data_bytes(header->numbers);
    if (!bytes || *bytes > file.size()) return {};
    offset = header->end + (*bytes + kFitsBlock - 1) / kFitsBlock * kFitsBlock;
  }
  return {};
}

}  // namespace halfarc
