#include "halfarc/server/router.h"

#include <gtest/gtest.h>

#include "a_request.h"

namespace halfarc::server {
namespace {

Router a_router() {
  Router router;
  router.add("GET", "/api/things", [](const WebRequest&) { return json_answer("all"); });
  router.add("GET", "/api/things/{}/part.png", [](const WebRequest& r) { return json_answer("part of " + r.ids[0]); });
  router.add("DELETE", "/api/things/{}", [](const WebRequest& r) { return json_answer("no more " + r.ids[0]); });
  return router;
}

TEST(Router, FindsTheAnswerAndItsId) {
  const Router router = a_router();
  EXPECT_EQ(router.route(a_request("GET", "/api/things")).body, "all");
  EXPECT_EQ(router.route(a_request("HEAD", "/api/things")).body, "all");
  EXPECT_EQ(router.route(a_request("GET", "/api/things/4f-2_a/part.png")).body, "part of 4f-2_a");
  EXPECT_EQ(router.route(a_request("DELETE", "/api/things/7")).body, "no more 7");
}

TEST(Router, AnIdHoldsNoPath) {
  const Router router = a_router();
  for (const char* path :
       {"/api/things/../part.png", "/api/things/..", "/api/things/a.b/part.png", "/api/things//part.png",
        "/api/things/a/b/part.png", "/api/things/%2e%2e/part.png", "/etc/passwd", "", "/api/things/"})
    EXPECT_EQ(router.route(a_request("GET", path)).status, 404) << path;
  EXPECT_EQ(router.route(a_request("GET", "/api/things/" + std::string(81, 'a') + "/part.png")).status, 404);
}

TEST(Router, SaysWhenOnlyTheMethodIsWrong) {
  EXPECT_EQ(a_router().route(a_request("POST", "/api/things", "{}")).status, 405);
}

}  // namespace
}  // namespace halfarc::server
