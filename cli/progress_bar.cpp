#include "progress_bar.h"

#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <cstdlib>

namespace halfarc::cli {
namespace {

constexpr auto kRedrawEvery = std::chrono::milliseconds(100);

volatile std::sig_atomic_t stop_flag = 0;

void ask_to_stop(int) { stop_flag = 1; }

int columns_of(std::FILE* stream) {
  winsize size{};
  const bool known = ::ioctl(::fileno(stream), TIOCGWINSZ, &size) == 0 && size.ws_col > 0;
  return known ? size.ws_col : 80;
}

std::size_t percent(std::size_t done, std::size_t total) {
  return total == 0 ? 0 : static_cast<std::size_t>(100.0 * static_cast<double>(done) / static_cast<double>(total));
}

std::string time_left(double s) {
  if (s < 0.0) return {};
  if (s < 90.0) return fmt::format("{:.0f} s left", s);
  return fmt::format("{:.0f} min left", s / 60.0);
}

}  // namespace

Display display_for(std::FILE* stream, bool quiet) {
  if (quiet) return Display::nothing;
  const char* terminal = std::getenv("TERM");
  const bool can_redraw = terminal != nullptr && std::string_view(terminal) != "dumb";
  return ::isatty(::fileno(stream)) == 1 && can_redraw ? Display::bar : Display::lines;
}

std::string bar_line(std::string_view stage, std::size_t done, std::size_t total, double left_s, int columns) {
  const std::size_t filled_percent = std::min<std::size_t>(100, percent(done, total));
  const std::string tail = fmt::format(" {:3} %  {}", filled_percent, time_left(left_s));
  const std::size_t room = static_cast<std::size_t>(std::max(0, columns - 1));
  const std::size_t taken = stage.size() + 3 + tail.size();
  const std::size_t width = taken < room ? std::min<std::size_t>(30, room - taken) : 0;
  const std::size_t filled = width * filled_percent / 100;
  const std::string bar =
      width < 5 ? "" : fmt::format(" [{}{}]", std::string(filled, '#'), std::string(width - filled, ' '));
  return fmt::format("{}{}{}", stage, bar, tail).substr(0, room);
}

void stop_on_signals() {
  struct sigaction action {};
  action.sa_handler = ask_to_stop;
  sigemptyset(&action.sa_mask);
  action.sa_flags = static_cast<int>(SA_RESETHAND);  // a second signal ends the program at once
  ::sigaction(SIGINT, &action, nullptr);
  ::sigaction(SIGTERM, &action, nullptr);
}

bool ProgressBar::stop_requested() const { return stop_flag != 0; }

void ProgressBar::report(std::string_view stage, std::size_t done, std::size_t total) {
  if (display_ == Display::nothing) return;
  const std::lock_guard lock(mutex_);
  const auto now = Clock::now();
  if (stage != stage_) {
    stage_ = stage;
    stage_start_ = now;
    last_drawn_ = {};
    tenth_ = 0;
  }
  if (display_ == Display::bar) {
    draw_bar(done, total, now);
  } else {
    write_line(done, total);
  }
}

void ProgressBar::draw_bar(std::size_t done, std::size_t total, Clock::time_point now) {
  if (now - last_drawn_ < kRedrawEvery) return;
  last_drawn_ = now;
  const double so_far = std::chrono::duration<double>(now - stage_start_).count();
  const bool foreseeable = done > 0 && done <= total && so_far > 1.0;
  const double left = foreseeable ? so_far * static_cast<double>(total - done) / static_cast<double>(done) : -1.0;
  fmt::print(stream_, "\r{}\x1b[K", bar_line(stage_, done, total, left, columns_of(stream_)));
  std::fflush(stream_);
  on_screen_ = true;
}

void ProgressBar::write_line(std::size_t done, std::size_t total) {
  const std::size_t tenth = percent(done, total) / 10;
  if (tenth <= tenth_) return;
  tenth_ = tenth;
  fmt::print(stream_, "{} {} %\n", stage_, 10 * tenth);
  std::fflush(stream_);
}

void ProgressBar::clear() {
  const std::lock_guard lock(mutex_);
  if (!on_screen_) return;
  std::fputs("\r\x1b[K", stream_);
  std::fflush(stream_);
  on_screen_ = false;
}

}  // namespace halfarc::cli
