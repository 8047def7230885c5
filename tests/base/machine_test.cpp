#include "halfarc/base/machine.h"

#include <gtest/gtest.h>

namespace halfarc {
namespace {

TEST(Machine, ReadsTheKernelsWordsOnMemory_ProcManPage) {
  const auto memory = parse_memory("MemTotal:        8000000 kB\nMemFree: 10 kB\nMemAvailable:    6000000 kB\n");
  ASSERT_TRUE(memory);
  EXPECT_DOUBLE_EQ(memory->all, 8.192e9);
  EXPECT_DOUBLE_EQ(memory->available, 6.144e9);
}

TEST(Machine, KnowsNoMemoryWhenTheKernelTellsNone) {
  EXPECT_FALSE(parse_memory(""));
  EXPECT_FALSE(parse_memory("MemTotal: 8000000 kB\n"));
  EXPECT_FALSE(parse_memory("MemTotal: many kB\nMemAvailable: 1 kB\n"));
  EXPECT_FALSE(parse_memory("MemAvailable: 1 kB\nMemTotal:"));
}

TEST(Machine, ThisOneHasCoresAndMemory) {
  const Machine machine = this_machine();
  EXPECT_GE(machine.cores, 1);
  EXPECT_FALSE(machine.system.empty());
  if (machine.memory) {
    EXPECT_GT(machine.memory->all, machine.memory->available);
  }
}

}  // namespace
}  // namespace halfarc
