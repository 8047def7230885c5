#include "halfarc/server/job_queue.h"

#include <nlohmann/json.hpp>

#include <algorithm>

namespace halfarc::server {
namespace {

constexpr std::size_t kMostWaiting = 20;
constexpr std::size_t kMostEnded = 50;
constexpr std::chrono::milliseconds kBetweenReports{200};

bool has_ended(const Job& job) { return job.state != JobState::waiting && job.state != JobState::running; }

}  // namespace

std::string_view name_of(JobState state) {
  switch (state) {
    case JobState::waiting:
      return "waiting";
    case JobState::running:
      return "running";
    case JobState::done:
      return "done";
    case JobState::failed:
      return "failed";
    case JobState::stopped:
      break;
  }
  return "stopped";
}

std::string job_json(const Job& job) {
  nlohmann::json j{{"id", job.id},     {"kind", job.kind},   {"state", name_of(job.state)}, {"stage", job.stage},
                   {"done", job.done}, {"total", job.total}, {"words", job.words}};
  if (job.started) j["started_utc"] = job.started->iso();
  if (job.ended) j["ended_utc"] = job.ended->iso();
  if (!job.result.empty()) j["result"] = job.result;
  if (job.error) j["error"] = {{"what", job.error->what}, {"where", job.error->where}, {"to_do", job.error->to_do}};
  return j.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
}

struct JobQueue::Entry {
  Job job;
  JobWork work;
  std::atomic<bool> stop{false};
};

// What the work reports to. Stages are told at once, counts at most five times a second.
class JobQueue::Reporter final : public Progress {
 public:
  Reporter(JobQueue& queue, Entry& entry) : queue_(queue), entry_(entry) {}

  void report(std::string_view stage, std::size_t done, std::size_t total) override {
    const auto now = std::chrono::steady_clock::now();
    const std::lock_guard lock(queue_.mutex_);
    Job& job = entry_.job;
    const bool is_new = job.stage != stage;
    if (is_new) job.stage = stage;
    job.done = done;
    job.total = total;
    if (!is_new && now - told_ < kBetweenReports) return;
    told_ = now;
    queue_.changed_(job);
  }
  bool stop_requested() const override { return entry_.stop.load(); }

 private:
  JobQueue& queue_;
  Entry& entry_;
  std::chrono::steady_clock::time_point told_;
};

JobQueue::JobQueue(std::function<void(const Job&)> changed)
    : changed_(std::move(changed)), thread_([this] { work_through(); }) {}

JobQueue::~JobQueue() {
  {
    const std::lock_guard lock(mutex_);
    closing_ = true;
    for (const auto& entry : entries_) entry->stop = true;
    wake_.notify_all();
  }
  thread_.join();
}

Result<std::string> JobQueue::add(std::string kind, std::string words, JobWork work) {
  const std::lock_guard lock(mutex_);
  const auto waiting =
      std::count_if(entries_.begin(), entries_.end(), [](const auto& e) { return e->job.state == JobState::waiting; });
  if (static_cast<std::size_t>(waiting) >= kMostWaiting)
    return Error{ErrorKind::refused, "too much is waiting to be done", kind, "wait, or stop some of it"};
  auto entry = std::make_shared<Entry>();
  entry->job.id = "job-" + std::to_string(++count_);
  entry->job.kind = std::move(kind);
  entry->job.words = std::move(words);
  entry->work = std::move(work);
  entries_.push_back(entry);
  changed_(entry->job);
  wake_.notify_all();
  return entry->job.id;
}

std::vector<Job> JobQueue::list() const {
  const std::lock_guard lock(mutex_);
  std::vector<Job> jobs;
  for (auto it = entries_.rbegin(); it != entries_.rend(); ++it) jobs.push_back((*it)->job);
  return jobs;
}

JobQueue::Stop JobQueue::stop(const std::string& id) {
  const std::lock_guard lock(mutex_);
  for (const auto& entry : entries_) {
    Job& job = entry->job;
    if (job.id != id) continue;
    if (has_ended(job)) return Stop::ended;
    entry->stop = true;
    if (job.state == JobState::waiting) end(*entry, cancelled());
    return Stop::asked;
  }
  return Stop::unknown;
}

void JobQueue::work_through() {
  std::unique_lock lock(mutex_);
  for (;;) {
    std::shared_ptr<Entry> next;
    wake_.wait(lock, [&] {
      const auto it = std::find_if(entries_.begin(), entries_.end(),
                                   [](const auto& e) { return e->job.state == JobState::waiting; });
      if (it != entries_.end()) next = *it;
      return closing_ || next != nullptr;
    });
    if (closing_) return;
    next->job.state = JobState::running;
    next->job.started = Utc::now();
    changed_(next->job);
    lock.unlock();
    run(*next);
    lock.lock();
    forget_old();
  }
}

void JobQueue::run(Entry& entry) {
  Reporter reporter(*this, entry);
  Result<JobOutcome> outcome = cancelled();
  try {
    outcome = entry.work(reporter);
  } catch (const std::exception& bug) {  // one broken job must not end the night's server
    outcome = failed(std::string("this is a bug in halfarc (") + bug.what() + ")", entry.job.kind, "please report it");
  }
  const std::lock_guard lock(mutex_);
  end(entry, std::move(outcome));
}

void JobQueue::end(Entry& entry, Result<JobOutcome> outcome) {
  Job& job = entry.job;
  job.ended = Utc::now();
  if (outcome) {
    job.state = JobState::done;
    job.words = std::move(outcome->words);
    job.result = std::move(outcome->result);
  } else {
    job.state = outcome.error().kind == ErrorKind::cancelled ? JobState::stopped : JobState::failed;
    if (job.state == JobState::failed) job.error = std::move(outcome).error();
  }
  entry.work = nullptr;
  changed_(job);
}

void JobQueue::forget_old() {
  auto ended = static_cast<std::size_t>(
      std::count_if(entries_.begin(), entries_.end(), [](const auto& e) { return has_ended(e->job); }));
  for (auto it = entries_.begin(); it != entries_.end() && ended > kMostEnded;) {
    if (has_ended((*it)->job)) {
      it = entries_.erase(it);
      --ended;
    } else {
      ++it;
    }
  }
}

}  // namespace halfarc::server
