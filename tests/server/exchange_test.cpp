#include "halfarc/server/exchange.h"

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "a_request.h"

namespace halfarc::server {
namespace {

TEST(Exchange, ReadsNumbersOfAQuery) {
  WebRequest request = a_request("GET", "/");
  request.query = {{"zoom", "3"}, {"bad", "3x"}, {"big", "9"}};
  EXPECT_EQ(request.number_asked("zoom", 1, 1, 4).value(), 3);
  EXPECT_EQ(request.number_asked("none", 1, 1, 4).value(), 1);
  EXPECT_FALSE(request.number_asked("bad", 1, 1, 4));
  EXPECT_EQ(request.number_asked("big", 1, 1, 4).error().kind, ErrorKind::usage);
}

TEST(Exchange, AnErrorIsUtf8WithoutControls) {
  const WebAnswer answer = error_answer(bad_input("cannot\nbe read", "a\xFF.ser", "<script>"));
  EXPECT_EQ(answer.status, 422);
  const auto document = nlohmann::json::parse(answer.body);
  EXPECT_EQ(document["error"]["what"], "cannot be read");
  EXPECT_EQ(document["error"]["where"], "a\xEF\xBF\xBD.ser");
  EXPECT_EQ(document["error"]["to_do"], "<script>");  // the page writes texts, never markup
}

TEST(Exchange, EveryKindOfErrorHasItsStatus) {
  EXPECT_EQ(status_of(ErrorKind::usage), 400);
  EXPECT_EQ(status_of(ErrorKind::bad_input), 422);
  EXPECT_EQ(status_of(ErrorKind::refused), 403);
  EXPECT_EQ(status_of(ErrorKind::failed), 500);
}

}  // namespace
}  // namespace halfarc::server
