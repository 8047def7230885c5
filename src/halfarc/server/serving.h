// Serving: the whole server: routes, events, jobs, the watch over the folder, the sockets. The use case behind
// `halfarc serve`.
#pragma once

#include <filesystem>
#include <memory>
#include <string>

#include "halfarc/base/parallel.h"
#include "halfarc/base/result.h"

namespace halfarc::server {

inline constexpr int kUsualPort = 4505;

struct ServeOptions {
  std::filesystem::path home;
  std::filesystem::path watched;  // empty: `recordings` in the home folder, made when it is not there
  int port = kUsualPort;          // 0: any that is free
  bool lan = false;               // also for devices on the owner's network, once paired
  bool rehearse = false;          // play a simulated night into the watched folder at once
  std::string version;
  Threads threads;
};

class Serving {
 public:
  // Errors: no home folder, one that is served already; no such folder to watch; a port that cannot be had.
  static Result<std::unique_ptr<Serving>> begin(const ServeOptions& options);
  ~Serving();  // ends the streams, asks a job to stop, answers what is under way
  Serving(const Serving&) = delete;
  Serving& operator=(const Serving&) = delete;

  // "http://127.0.0.1:4505/"
  std::string address() const;

  // What the owner is told: the address, of a rehearsal that of its page; with `lan` that for the phone, the code and
  // its QR code.
  Result<std::string> words() const;

 private:
  struct Inside;
  explicit Serving(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> inside_;
};

}  // namespace halfarc::server
