// Served: what all routes of one server share.
#pragma once

#include <filesystem>
#include <string>

#include "halfarc/app/asked.h"
#include "halfarc/base/parallel.h"
#include "halfarc/base/utc.h"
#include "halfarc/server/event_log.h"
#include "halfarc/server/job_queue.h"
#include "halfarc/server/pairing.h"

namespace halfarc::server {

struct Served {
  std::filesystem::path home;
  std::filesystem::path watched;
  std::string version;
  Threads threads;
  EventLog& events;
  JobQueue& jobs;
  Pairing& pairing;

  Asker asker() const { return {home, Utc::now()}; }
};

}  // namespace halfarc::server
