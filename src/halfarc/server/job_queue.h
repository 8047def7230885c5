// JobQueue: long work, one piece at a time in the order it was asked for, on a thread of its own. Each piece may use
// all cores, so a second one beside it would only make both slower.
#pragma once

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <thread>
#include <vector>

#include "halfarc/base/progress.h"
#include "halfarc/base/result.h"
#include "halfarc/base/utc.h"

namespace halfarc::server {

enum class JobState { waiting, running, done, failed, stopped };
std::string_view name_of(JobState state);

struct Job {
  std::string id;
  std::string kind;  // "make", "rehearse"
  JobState state = JobState::waiting;
  std::string stage;
  std::size_t done = 0, total = 0;  // of the stage
  std::string words;                // what it is, and at its end what came of it
  std::optional<Utc> started, ended;
  std::string result;  // id of what it made
  std::optional<Error> error;
};

// {id, kind, state, ...} as docs/contracts/http.md has it.
std::string job_json(const Job& job);

struct JobOutcome {
  std::string words;
  std::string result;
};
using JobWork = std::function<Result<JobOutcome>(Progress&)>;

class JobQueue {
 public:
  // `changed` is told of every new state and of progress, at most five times a second; it must not call back.
  explicit JobQueue(std::function<void(const Job&)> changed);
  ~JobQueue();  // asks the running job to stop and waits for it
  JobQueue(const JobQueue&) = delete;
  JobQueue& operator=(const JobQueue&) = delete;

  // The id of the job. Errors (refused): 20 wait already.
  Result<std::string> add(std::string kind, std::string words, JobWork work);

  // Newest first; of those that ended the last 50.
  std::vector<Job> list() const;

  enum class Stop { asked, unknown, ended };
  Stop stop(const std::string& id);

 private:
  struct Entry;
  class Reporter;
  void work_through();
  void run(Entry& entry);
  void end(Entry& entry, Result<JobOutcome> outcome);
  void forget_old();

  std::function<void(const Job&)> changed_;
  mutable std::mutex mutex_;
  std::condition_variable wake_;
  std::deque<std::shared_ptr<Entry>> entries_;  // oldest first
  std::size_t count_ = 0;
  bool closing_ = false;
  std::thread thread_;
};

}  // namespace halfarc::server
