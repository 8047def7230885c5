#include "halfarc/base/progress.h"

#include <gtest/gtest.h>

#include <string>

namespace halfarc {
namespace {

// Stops after a given number of reports, as an impatient owner would.
class Impatient final : public Progress {
 public:
  explicit Impatient(std::size_t reports) : left_(reports) {}
  void report(std::string_view stage, std::size_t, std::size_t) override {
    last_stage = stage;
    if (left_ > 0) --left_;
  }
  bool stop_requested() const override { return left_ == 0; }
  std::string last_stage;

 private:
  std::size_t left_;
};

Result<std::size_t> count_to(std::size_t total, Progress& progress) {
  for (std::size_t i = 0; i < total; ++i) {
    if (progress.stop_requested()) return cancelled();
    progress.report("counting", i + 1, total);
  }
  return total;
}

TEST(Progress, SilentNeverStops) {
  Silent silent;
  EXPECT_EQ(count_to(1000, silent).value(), 1000U);
}

TEST(Progress, StoppingIsAnErrorOfItsOwnKind) {
  Impatient owner(10);
  const auto counted = count_to(1000, owner);
  ASSERT_FALSE(counted);
  EXPECT_EQ(counted.error().kind, ErrorKind::cancelled);
  EXPECT_EQ(counted.error().line(), "stopped as asked");
  EXPECT_EQ(exit_code(counted.error().kind), 1);
  EXPECT_EQ(owner.last_stage, "counting");
}

}  // namespace
}  // namespace halfarc
