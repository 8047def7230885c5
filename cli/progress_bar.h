// ProgressBar: progress on stderr. On a terminal one line that is redrawn and removed at the end; into a file or a
// pipe one line per 10 % of each stage; nothing when quiet.
//
// Ctrl-C (SIGINT) and SIGTERM ask the work to stop in its own time, so that it can leave nothing half written; the
// same signal a second time ends the program at once.
#pragma once

#include <chrono>
#include <cstdio>
#include <mutex>
#include <string>

#include "halfarc/base/progress.h"

namespace halfarc::cli {

enum class Display { bar, lines, nothing };

// How to show progress on `stream`: nothing when quiet, a bar when it is a terminal that can move its cursor.
Display display_for(std::FILE* stream, bool quiet);

// The line a bar shows, without control characters and at most `columns` wide. `left` seconds are shown when they
// are known (>= 0).
std::string bar_line(std::string_view stage, std::size_t done, std::size_t total, double left_s, int columns);

// From now on SIGINT and SIGTERM set the flag that every ProgressBar's stop_requested() reads.
void stop_on_signals();

class ProgressBar final : public Progress {
 public:
  ProgressBar(std::FILE* stream, Display display) : stream_(stream), display_(display) {}
  ~ProgressBar() override { clear(); }
  ProgressBar(const ProgressBar&) = delete;
  ProgressBar& operator=(const ProgressBar&) = delete;

  void report(std::string_view stage, std::size_t done, std::size_t total) override;
  bool stop_requested() const override;

  // Takes the bar off the terminal, so that other text can follow.
  void clear();

 private:
  using Clock = std::chrono::steady_clock;
  void draw_bar(std::size_t done, std::size_t total, Clock::time_point now);
  void write_line(std::size_t done, std::size_t total);

  std::FILE* stream_;
  Display display_;
  std::mutex mutex_;
  std::string stage_;
  Clock::time_point stage_start_;
  Clock::time_point last_drawn_;
  std::size_t tenth_ = 0;
  bool on_screen_ = false;
};

}  // namespace halfarc::cli
