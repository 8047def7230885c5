#include "halfarc/server/pairing.h"

#include <nettle/sha2.h>
#include <sys/random.h>

#include <array>
#include <cstdint>
#include <fstream>

#include "halfarc/base/atomic_file.h"

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

std::string hash_of(const std::string& token) {
  sha256_ctx context;
  sha256_init(&context);
  sha256_update(&context, token.size(), reinterpret_cast<const std::uint8_t*>(token.data()));
  std::array<std::uint8_t, SHA256_DIGEST_SIZE> digest{};
  sha256_digest(&context, digest.size(), digest.data());
  return in_hex(std::string(digest.begin(), digest.end()));
}

bool is_hash(const std::string& line) {
  return line.size() == 2 * SHA256_DIGEST_SIZE && line.find_first_not_of("0123456789abcdef") == std::string::npos;
}

}  // namespace

Pairing::Pairing(std::string code, std::filesystem::path kept) : code_(std::move(code)), kept_(std::move(kept)) {
  std::ifstream in(kept_);
  for (std::string line; sessions_.size() < kMostSessions && std::getline(in, line);) {
    if (is_hash(line)) sessions_.push_back(line);
  }
}

// Under its final name the file was never readable by anyone else.
Result<void> Pairing::keep() const {
  if (kept_.empty()) return {};
  HALFARC_TRY(AtomicFile file, AtomicFile::create(kept_));
  std::error_code problem;
  std::filesystem::permissions(file.temporary_path(),
                               std::filesystem::perms::owner_read | std::filesystem::perms::owner_write, problem);
  if (problem)
    return failed("cannot be kept from others' eyes: " + problem.message(), kept_.string(),
                  "use a home folder on a disk with permissions");
  for (const std::string& session : sessions_) HALFARC_CHECK(file.write(session + "\n"));
  return file.commit();
}

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
  const std::string token = in_hex(bytes);
  sessions_.push_back(hash_of(token));
  if (sessions_.size() > kMostSessions) sessions_.pop_front();
  HALFARC_CHECK(keep());
  return Attempt{Verdict::paired, token, {}};
}

bool Pairing::knows(const std::string& token) const {
  const std::string hash = hash_of(token);
  const std::lock_guard lock(mutex_);
  bool known = false;
  for (const std::string& session : sessions_) known = same(session, hash) || known;
  return known;
}

}  // namespace halfarc::server
