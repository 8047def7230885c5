#include "halfarc/server/job_queue.h"

#include <gtest/gtest.h>

#include <atomic>
#include <mutex>
#include <stdexcept>

namespace halfarc::server {
namespace {

// What the pages were told, and a wait for the end of a job.
class Told {
 public:
  void operator()(const Job& job) {
    const std::lock_guard lock(mutex_);
    jobs_.push_back(job);
    changed_.notify_all();
  }
  Job wait_until(const std::string& id, JobState state) {
    std::unique_lock lock(mutex_);
    Job found;
    const bool came = changed_.wait_for(lock, std::chrono::seconds(20), [&] {
      for (const Job& job : jobs_) {
        if (job.id == id && job.state == state) {
          found = job;
          return true;
        }
      }
      return false;
    });
    EXPECT_TRUE(came) << id << " never was " << name_of(state);
    return found;
  }
  std::size_t count() const {
    const std::lock_guard lock(mutex_);
    return jobs_.size();
  }

 private:
  mutable std::mutex mutex_;
  std::condition_variable changed_;
  std::vector<Job> jobs_;
};

JobWork until_stopped() {
  return [](Progress& progress) -> Result<JobOutcome> {
    while (!progress.stop_requested()) std::this_thread::sleep_for(std::chrono::milliseconds(1));
    return cancelled();
  };
}

JobWork at_once(std::string words = "done") {
  return [words](Progress&) -> Result<JobOutcome> { return JobOutcome{words, "result"}; };
}

TEST(JobQueue, DoesOneAtATimeInOrder) {
  Told told;
  std::atomic<int> at_work{0}, most{0};
  JobQueue queue([&](const Job& job) { told(job); });
  std::string last;
  for (int i = 0; i < 5; ++i) {
    last = queue
               .add("make", "w",
                    [&](Progress&) -> Result<JobOutcome> {
                      most = std::max(most.load(), ++at_work);
                      std::this_thread::sleep_for(std::chrono::milliseconds(2));
                      --at_work;
                      return JobOutcome{"made", "id"};
                    })
               .value();
  }
  const Job done = told.wait_until(last, JobState::done);
  EXPECT_EQ(most, 1);
  EXPECT_EQ(done.words, "made");
  EXPECT_EQ(done.result, "id");
  EXPECT_TRUE(done.started && done.ended);
  EXPECT_EQ(queue.list().front().id, last);
}

TEST(JobQueue, StopsWhatRunsAndWhatWaits) {
  Told told;
  JobQueue queue([&](const Job& job) { told(job); });
  const std::string running = queue.add("make", "w", until_stopped()).value();
  const std::string waiting = queue.add("make", "w", at_once()).value();
  told.wait_until(running, JobState::running);
  EXPECT_EQ(queue.stop(waiting), JobQueue::Stop::asked);
  told.wait_until(waiting, JobState::stopped);
  EXPECT_EQ(queue.stop(running), JobQueue::Stop::asked);
  told.wait_until(running, JobState::stopped);
  EXPECT_EQ(queue.stop(running), JobQueue::Stop::ended);
  EXPECT_EQ(queue.stop("job-99"), JobQueue::Stop::unknown);
}

TEST(JobQueue, SaysWhyAJobFailedAndGoesOn) {
  Told told;
  JobQueue queue([&](const Job& job) { told(job); });
  const auto bad = queue.add("make", "w", [](Progress&) -> Result<JobOutcome> { return failed("disk full", "x"); });
  const auto bug = queue.add("make", "w", [](Progress&) -> Result<JobOutcome> { throw std::logic_error("oops"); });
  const auto good = queue.add("make", "w", at_once());
  EXPECT_EQ(told.wait_until(*bad, JobState::failed).error->what, "disk full");
  EXPECT_NE(told.wait_until(*bug, JobState::failed).error->what.find("oops"), std::string::npos);
  told.wait_until(*good, JobState::done);
}

TEST(JobQueue, TellsProgressSeldom) {
  Told told;
  JobQueue queue([&](const Job& job) { told(job); });
  const auto id = queue.add("make", "w", [](Progress& progress) -> Result<JobOutcome> {
    for (std::size_t i = 0; i < 100'000; ++i) progress.report("stacking", i, 100'000);
    return JobOutcome{"made", ""};
  });
  told.wait_until(*id, JobState::done);
  EXPECT_LT(told.count(), 40U);
  EXPECT_EQ(queue.list().front().stage, "stacking");
}

TEST(JobQueue, RefusesMoreThanCanWait) {
  JobQueue queue([](const Job&) {});
  Result<std::string> last = std::string();
  for (int i = 0; i < 30 && last; ++i) last = queue.add("make", "w", until_stopped());
  ASSERT_FALSE(last);
  EXPECT_EQ(last.error().kind, ErrorKind::refused);
}

TEST(JobQueue, EndsWithWorkUnderWay) {
  Told told;
  {
    JobQueue queue([&](const Job& job) { told(job); });
    told.wait_until(queue.add("make", "w", until_stopped()).value(), JobState::running);
  }
  SUCCEED();
}

}  // namespace
}  // namespace halfarc::server
