#include "halfarc/server/home_lock.h"

#include <gtest/gtest.h>

#include "scratch_folder.h"

namespace halfarc::server {
namespace {

TEST(HomeLock, IsHeldByOne) {
  const ScratchFolder folder;
  {
    const auto first = HomeLock::take(folder.path() / "home");
    ASSERT_TRUE(first);
    first->tell("http://127.0.0.1:4505/");
    const auto second = HomeLock::take(folder.path() / "home");
    ASSERT_FALSE(second);
    EXPECT_NE(second.error().line().find("open http://127.0.0.1:4505/"), std::string::npos);
  }
  EXPECT_TRUE(HomeLock::take(folder.path() / "home"));
}

TEST(HomeLock, ALinkIsNotFollowed) {
  const ScratchFolder folder;
  std::filesystem::create_symlink(folder.path() / "elsewhere", folder.path() / "serve.lock");
  EXPECT_FALSE(HomeLock::take(folder.path()));
  EXPECT_FALSE(std::filesystem::exists(folder.path() / "elsewhere"));
  EXPECT_FALSE(HomeLock::take({}));
}

}  // namespace
}  // namespace halfarc::server
