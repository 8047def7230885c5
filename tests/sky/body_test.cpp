#include "halfarc/sky/body.h"

#include <gtest/gtest.h>

namespace halfarc::sky {
namespace {

TEST(Body, IsReadInAnySensibleSpelling) {
  const struct {
    const char* text;
    Body body;
  } cases[] = {{"Jupiter", Body::jupiter}, {"jup", Body::jupiter}, {" SATURN ", Body::saturn},
               {"the Moon", Body::moon},   {"Luna", Body::moon},   {"Sol", Body::sun},
               {"♂", Body::mars},          {"mar", Body::mars},    {"mer", Body::mercury},
               {"Neptun", Body::neptune}};
  for (const auto& c : cases) {
    const auto body = parse_body(c.text);
    ASSERT_TRUE(body.has_value()) << c.text;
    EXPECT_EQ(*body, c.body) << c.text;
  }
}

TEST(Body, NamesReadBack) {
  for (const Body b : kAllBodies) EXPECT_EQ(parse_body(name_of(b)).value_or(Body::sun), b);
}

TEST(Body, SaysWhatToTypeWhenTheNameIsUnknown) {
  for (const char* text : {"", "ma", "Pluto", "Jupiterr", "the"}) {
    const auto body = parse_body(text);
    ASSERT_FALSE(body.has_value()) << text;
    EXPECT_EQ(body.error().kind, ErrorKind::bad_input);
    EXPECT_NE(body.error().to_do.find("Jupiter"), std::string::npos);
  }
}

}  // namespace
}  // namespace halfarc::sky
