#include "halfarc/server/pairing.h"

#include <sys/random.h>

#include <cstdint>

namespace halfarc::server {
namespace {

constexpr std::string_view kAlphabet = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ";
constexpr std::size_t kMostWrong = 5;
constexpr std::chrono::seconds kWindow{60};
constexpr std::size_t kMostSessions = 16;

std::string as_typed(std::string_view typed) {
  std::string code;
  for (char c : typed) {
    if (c >= 'a' && c <= 'z') c = static_cast<char>(c - ('a' - 'A'));
    if (c != ' ' && c != '-') code.push_back(c);
  }
  return code;
}

// Takes the same time wherever they differ.
bool same(std::string_view a, std::string_view b) {
  if (a.size() != b.size()) return false;
  unsigned difference = 0;
  for (std::size_t i = 0; i < a.size(); ++i) difference |= static_cast<unsigned char>(a[i] ^ b[i]);
  return difference == 0;
}

std::string in_hex(const std::string& bytes) {
  static constexpr std::string_view digits = "0123456789abcdef";
  std::string text;
  for (const char c : bytes) {
    const auto byte = static_cast<unsigned char>(c);
    text.push_back(digits[byte >> 4U]);
    text.push_back(digits[byte & 15U]);
  }
  return text;
}

}  // namespace

Result<std::string> random_bytes(std::size_t count) {
  std::string bytes(count, '\0');
  if (getrandom(bytes.data(), bytes.size(), 0) != static_cast<ssize_t>(count))
    return failed("the system gives no random numbers", "", "serve without --lan");
  return bytes;
}

std::string pairing_code(const std::string& bytes) {
  std::uint64_t bits = 0;
  for (const char c : bytes) bits = bits << 8U | static_cast<unsigned char>(c);
  std::string code;
  for (unsigned i = 0; i < 8; ++i) code.push_back(kAlphabet[bits >> (5U * i) & 31U]);
  return code;
}

std::string spelled_out(const std::string& code) { return code.substr(0, 4) + " " + code.substr(4); }

Result<Pairing::Attempt> Pairing::attempt(std::string_view typed, Time now) {
  const std::lock_guard lock(mutex_);
  while (!wrong_.empty() && now - wrong_.front() >= kWindow) wrong_.pop_front();
  if (wrong_.size() >= kMostWrong) {
    const auto left = std::chrono::ceil<std::chrono::seconds>(kWindow - (now - wrong_.front()));
    return Attempt{Verdict::too_many, {}, left};
  }
  if (code_.empty() || !same(as_typed(typed), code_)) {
    wrong_.push_back(now);
    return Attempt{Verdict::wrong, {}, {}};
  }
  HALFARC_TRY(const std::string bytes, random_bytes(16));
  sessions_.push_back(in_hex(bytes));
  if (sessions_.size() > kMostSessions) sessions_.pop_front();
  return Attempt{Verdict::paired, sessions_.back(), {}};
}

bool Pairing::knows(const std::string& token) const {
  const std::lock_guard lock(mutex_);
  bool known = false;
  for (const std::string& session : sessions_) known = same(session, token) || known;
  return known;
}

}  // namespace halfarc::server
