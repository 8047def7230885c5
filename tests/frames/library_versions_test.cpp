#include "halfarc/frames/library_versions.h"

#include <gtest/gtest.h>

#include <regex>

namespace halfarc {
namespace {

TEST(LibraryVersions, AreANameAndNumbers) {
  const auto versions = library_versions();
  EXPECT_GE(versions.size(), 5U);
  for (const std::string& version : versions)
    EXPECT_TRUE(std::regex_match(version, std::regex("[A-Za-z]+ [0-9]+(\\.[0-9]+)+"))) << version;
}

}  // namespace
}  // namespace halfarc
