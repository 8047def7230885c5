#include "halfarc/server/assets.h"

#include <gtest/gtest.h>

namespace halfarc::server {
namespace {

TEST(Assets, ThePageIsThere) {
  const Asset* page = find_asset("/");
  ASSERT_NE(page, nullptr);
  EXPECT_TRUE(page->type.starts_with("text/html"));
  EXPECT_NE(page->bytes.find("</html>"), std::string_view::npos);
  EXPECT_EQ(find_asset("/assets/../serve.lock"), nullptr);
}

// What the Content-Security-Policy would refuse, and what would ask the network.
TEST(Assets, NothingInlineAndNothingFromElsewhere) {
  const std::string_view page = find_asset("/")->bytes;
  for (const char* never : {"<style", "onload=", "onclick=", "https://", "http://"})
    EXPECT_EQ(page.find(never), std::string_view::npos) << never;
  for (std::size_t at = page.find("<script"); at != std::string_view::npos; at = page.find("<script", at + 1))
    EXPECT_NE(page.substr(at, page.find('>', at) - at).find("src="), std::string_view::npos);
}

}  // namespace
}  // namespace halfarc::server
