#include "halfarc/server/body_fields.h"

#include <gtest/gtest.h>

#include "a_request.h"

namespace halfarc::server {
namespace {

Result<BodyFields> read(const std::string& body) {
  return fields_of(a_request("POST", "/api/make", body), {"runs", "name"}, {"keep_percent"}, {"short"});
}

TEST(BodyFields, ReadsWhatIsAllowed) {
  const auto fields = read(R"({"runs":["a","b"],"name":"x","keep_percent":12.5,"short":true})");
  ASSERT_TRUE(fields);
  EXPECT_EQ(fields->texts.at("runs"), (std::vector<std::string>{"a", "b"}));
  EXPECT_EQ(text_of(*fields, "name").value(), "x");
  EXPECT_DOUBLE_EQ(*fields->number("keep_percent"), 12.5);
  EXPECT_TRUE(fields->switches.at("short"));
  EXPECT_FALSE(text_of(*fields, "runs"));
  EXPECT_FALSE(text_of(*fields, "none"));
}

TEST(BodyFields, RefusesWhatIsNotUnderstood) {
  for (const char* body : {"", "{", "[]", "1", "null", R"({"path":"/etc"})", R"({"runs":[1]})", R"({"name":{"a":1}})",
                           "{\"name\":\"\xFF\"}", R"({"name":"x"}})", R"({"short":"yes"})", R"({"keep_percent":"12"})",
                           R"({"name":true})"}) {
    const auto fields = read(body);
    ASSERT_FALSE(fields) << body;
    EXPECT_EQ(fields.error().kind, ErrorKind::usage) << body;
  }
}

TEST(BodyFields, DeepNestingDoesNotExhaustTheStack) {
  EXPECT_FALSE(read(std::string(500'000, '[')));
  EXPECT_FALSE(read("{\"name\":" + std::string(300'000, '[') + std::string(300'000, ']') + "}"));
}

}  // namespace
}  // namespace halfarc::server
