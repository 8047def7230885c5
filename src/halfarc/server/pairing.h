// Pairing: how a phone on the owner's own network is let in. The terminal shows a code; who types it, or reads it off
// the QR code, gets a session.
//
// The code has 8 characters of an alphabet of 32 without look-alikes, 40 bits. Five wrong ones within a minute, from
// whomever, and for the rest of that minute none is looked at: guessing at full speed for a whole night finds it with a
// chance of 3e-9. A session is 128 random bits; it outlasts a restart of the server, because its SHA-256 is kept in the
// home folder, where nothing can be read off it. Thread safe; time is passed in.
#pragma once

#include <array>
#include <chrono>
#include <deque>
#include <filesystem>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>

#include "halfarc/base/result.h"

namespace halfarc::server {

// So many bytes from the system's generator. Errors: there is none.
Result<std::string> random_bytes(std::size_t count);

// 8 characters out of 5 bytes. The alphabet leaves out 0, O, 1 and I.
std::string pairing_code(const std::string& bytes);

// "7KQ4 M2XR": in two groups, as it is read out.
std::string spelled_out(const std::string& code);

class Pairing {
 public:
  using Time = std::chrono::steady_clock::time_point;

  // An empty code pairs nobody. Sessions are kept in the file `kept`, which only its owner may read; an empty path
  // keeps none. A file that cannot be read has no sessions: its devices pair again.
  explicit Pairing(std::string code, std::filesystem::path kept = {});

  enum class Verdict { paired, wrong, too_many };
  struct Attempt {
    Verdict verdict = Verdict::wrong;
    std::string token;             // of the session, when paired
    std::chrono::seconds wait{0};  // when too many
  };
  // `typed` in any case, with spaces or hyphens. Errors: no random numbers; the sessions cannot be kept.
  Result<Attempt> attempt(std::string_view typed, Time now);

  bool knows(const std::string& token) const;

 private:
  Result<void> keep() const;

  const std::string code_;
  const std::filesystem::path kept_;
  mutable std::mutex mutex_;
  std::deque<Time> wrong_;            // of the last minute
  std::deque<std::string> sessions_;  // hashes of their tokens; newest last; the oldest goes when there are 16
};

}  // namespace halfarc::server
