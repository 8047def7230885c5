#include "progress_bar.h"

#include <gtest/gtest.h>
#include <signal.h>
#include <stdlib.h>

#include <memory>
#include <string>
#include <thread>
#include <vector>

namespace halfarc::cli {
namespace {

using Stream = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;

Stream scratch_stream() { return {std::tmpfile(), &std::fclose}; }

std::string text_of(const Stream& stream) {
  std::string text;
  std::rewind(stream.get());
  for (int c = std::fgetc(stream.get()); c != EOF; c = std::fgetc(stream.get())) text += static_cast<char>(c);
  return text;
}

TEST(BarLine, ShowsStageBarPercentAndTimeLeft) {
  EXPECT_EQ(bar_line("reading", 1, 2, -1.0, 80), "reading [###############               ]  50 %  ");
  EXPECT_EQ(bar_line("reading", 2, 2, 0.0, 80), "reading [##############################] 100 %  0 s left");
  EXPECT_EQ(bar_line("reading", 0, 0, -1.0, 80), "reading [                              ]   0 %  ");
  EXPECT_NE(bar_line("reading", 1, 4, 89.0, 80).find("89 s left"), std::string::npos);
  EXPECT_NE(bar_line("reading", 1, 4, 150.0, 80).find("2 min left"), std::string::npos);
  EXPECT_NE(bar_line("reading", 9, 4, -1.0, 80).find("100 %"), std::string::npos);
}

TEST(BarLine, FitsTheTerminal) {
  for (int columns = 0; columns < 120; ++columns) {
    const auto line = bar_line("registering the chosen frames", 3, 7, 12.0, columns);
    EXPECT_LE(line.size(), static_cast<std::size_t>(std::max(0, columns - 1)));
  }
}

TEST(ProgressBar, WritesOneLineEveryTenPercentOfAStage) {
  const Stream out = scratch_stream();
  ProgressBar progress(out.get(), Display::lines);
  for (std::size_t i = 0; i <= 1000; ++i) progress.report("reading", i, 1000);
  progress.report("stacking", 1, 4);
  progress.report("stacking", 4, 4);
  std::string expected;
  for (int p = 10; p <= 100; p += 10) expected += "reading " + std::to_string(p) + " %\n";
  EXPECT_EQ(text_of(out), expected + "stacking 20 %\nstacking 100 %\n");
}

TEST(ProgressBar, WritesEachLineOnceWhateverTheThreads) {
  const Stream out = scratch_stream();
  ProgressBar progress(out.get(), Display::lines);
  std::vector<std::thread> threads;
  for (std::size_t t = 0; t < 4; ++t) {
    threads.emplace_back([&] {
      for (std::size_t i = 0; i <= 1000; ++i) progress.report("reading", i, 1000);
    });
  }
  for (std::thread& thread : threads) thread.join();
  const auto text = text_of(out);
  EXPECT_EQ(std::count(text.begin(), text.end(), '\n'), 10);
}

TEST(ProgressBar, RedrawsItsLineAndTakesItAway) {
  const Stream out = scratch_stream();
  {
    ProgressBar progress(out.get(), Display::bar);
    progress.report("reading", 1, 2);
  }
  EXPECT_EQ(text_of(out), "\r" + bar_line("reading", 1, 2, -1.0, 80) + "\x1b[K\r\x1b[K");
}

TEST(ProgressBar, RedrawsAtMostTenTimesASecond) {
  const Stream out = scratch_stream();
  ProgressBar progress(out.get(), Display::bar);
  for (std::size_t i = 0; i < 100'000; ++i) progress.report("reading", i, 100'000);
  const auto text = text_of(out);
  EXPECT_LE(std::count(text.begin(), text.end(), '\r'), 20);
}

TEST(ProgressBar, SaysNothingWhenQuiet) {
  const Stream out = scratch_stream();
  EXPECT_EQ(display_for(out.get(), true), Display::nothing);
  ProgressBar progress(out.get(), Display::nothing);
  progress.report("reading", 1, 2);
  progress.clear();
  EXPECT_EQ(text_of(out), "");
}

TEST(ProgressBar, WritesLinesWhereThereIsNoTerminal) {
  const Stream out = scratch_stream();
  ::setenv("TERM", "xterm", 1);
  EXPECT_EQ(display_for(out.get(), false), Display::lines);
}

// In a process of its own: 40 after the first signal was taken as a wish, 41 if it was not.
void ask_twice(int signal_number) {
  stop_on_signals();
  ProgressBar progress(stderr, Display::nothing);
  if (progress.stop_requested()) std::_Exit(41);
  ::raise(signal_number);
  if (!progress.stop_requested()) std::_Exit(41);
  std::fputs("stopping in its own time", stderr);
  ::raise(signal_number);
  std::_Exit(41);
}

TEST(ProgressBarDeathTest, ASignalAsksToStopAndASecondOneEndsTheProgram) {
  for (const int signal_number : {SIGINT, SIGTERM}) {
    EXPECT_EXIT(ask_twice(signal_number), testing::KilledBySignal(signal_number), "stopping in its own time");
  }
}

}  // namespace
}  // namespace halfarc::cli
