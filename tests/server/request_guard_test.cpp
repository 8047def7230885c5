// The attacks that a page in the owner's browser, or a device on the owner's network, can try by a request's header.
#include "halfarc/server/request_guard.h"

#include <gtest/gtest.h>

#include "a_request.h"

namespace halfarc::server {
namespace {

bool nobody(const std::string&) { return false; }
bool the_phone(const std::string& token) { return token == "0123abcd"; }

int status(const WebRequest& request, const IsPaired& paired = nobody) {
  const auto refused = guard(request, paired);
  return refused ? refused->status : 200;
}

TEST(RequestGuard, LetsTheOwnersBrowserIn) {
  EXPECT_EQ(status(a_request("GET", "/")), 200);
  EXPECT_EQ(status(a_request("GET", "/api/step")), 200);
  EXPECT_EQ(status(a_request("POST", "/api/notes", "{}")), 200);
  EXPECT_EQ(status(a_request("DELETE", "/api/jobs/job-1")), 200);
  WebRequest local = a_request("GET", "/api/step");
  set_field(local, "host", "localhost:4505");
  EXPECT_EQ(status(local), 200);
}

TEST(RequestGuard, RefusesAForeignHost) {
  for (const char* host : {"evil.example:4505", "127.0.0.1:80", "127.0.0.1", "localhost.evil.example:4505", ""}) {
    WebRequest request = a_request("GET", "/api/status");
    set_field(request, "host", host);
    EXPECT_EQ(status(request), 403) << host;
  }
  WebRequest two = a_request("GET", "/api/status");
  two.fields.emplace("host", "evil.example");
  EXPECT_EQ(status(two), 403);
}

TEST(RequestGuard, RefusesAForeignOrigin) {
  for (const char* origin : {"http://evil.example", "null", "https://127.0.0.1:4505", "http://127.0.0.1:8080", ""}) {
    WebRequest request = a_request("POST", "/api/notes", "{}");
    set_field(request, "origin", origin);
    EXPECT_EQ(status(request), 403) << origin;
  }
}

TEST(RequestGuard, RefusesWhatTheBrowserCallsCrossSite) {
  for (const char* site : {"cross-site", "same-site"}) {
    WebRequest request = a_request("GET", "/api/recordings");
    set_field(request, "sec-fetch-site", site);
    EXPECT_EQ(status(request), 403) << site;
    request.path = "/";  // a link to the page is harmless
    EXPECT_EQ(status(request), 200) << site;
  }
}

TEST(RequestGuard, DemandsJsonForWrites) {
  for (const char* type : {"text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", ""}) {
    WebRequest request = a_request("POST", "/api/notes", "{}");
    set_field(request, "content-type", type);
    EXPECT_EQ(status(request), 415) << type;
  }
  WebRequest with_charset = a_request("PUT", "/api/site", "{}");
  set_field(with_charset, "content-type", "Application/JSON ; charset=utf-8");
  EXPECT_EQ(status(with_charset), 200);
}

TEST(RequestGuard, RefusesTooMuchByItsAnnouncedLength) {
  for (const char* length : {"1048577", "99999999999999999999999999"}) {
    WebRequest request = a_request("POST", "/api/notes", "{}");
    set_field(request, "content-length", length);
    EXPECT_EQ(status(request), 413) << length;
  }
  for (const char* length : {"-1", "1x", "0x10", " 5"}) {
    WebRequest request = a_request("POST", "/api/notes", "{}");
    set_field(request, "content-length", length);
    EXPECT_EQ(status(request), 400) << length;
  }
  EXPECT_EQ(status(a_request("GET", "/" + std::string(3000, 'a'))), 400);
}

TEST(RequestGuard, RefusesFormsThatOnlyAttackersSend) {
  for (const char* name : {"transfer-encoding", "content-encoding", "range", "expect"}) {
    WebRequest request = a_request("GET", "/");
    set_field(request, name, "x");
    EXPECT_EQ(status(request), 400) << name;
  }
  EXPECT_EQ(status(a_request("OPTIONS", "/api/notes")), 405);
  EXPECT_EQ(status(a_request("TRACE", "/")), 405);
}

WebRequest from_phone(const std::string& method, const std::string& path) {
  WebRequest request = a_request(method, path, method == "GET" ? "" : "{}");
  request.from = "192.168.1.20";
  request.to = "192.168.1.5";
  set_field(request, "host", "192.168.1.5:4505");
  if (method != "GET") set_field(request, "origin", "http://192.168.1.5:4505");
  return request;
}

TEST(RequestGuard, AsksADeviceToPair) {
  EXPECT_EQ(status(from_phone("GET", "/")), 200);
  EXPECT_EQ(status(from_phone("GET", "/assets/app.js")), 200);
  EXPECT_EQ(status(from_phone("GET", "/api/status")), 200);
  EXPECT_EQ(status(from_phone("POST", "/api/pair")), 200);
  for (const char* path : {"/api/step", "/api/events", "/api/site", "/api/status/"})
    EXPECT_EQ(status(from_phone("GET", path)), 403) << path;
  EXPECT_EQ(status(from_phone("POST", "/api/turned")), 403);

  WebRequest paired = from_phone("GET", "/api/step");
  set_field(paired, "cookie", "other=1; halfarc_session=0123abcd");
  EXPECT_EQ(status(paired, the_phone), 200);
  set_field(paired, "cookie", "halfarc_session=0123abcx");
  EXPECT_EQ(status(paired, the_phone), 403);
  set_field(paired, "cookie", "xhalfarc_session=0123abcd");
  EXPECT_EQ(status(paired, the_phone), 403);
}

TEST(RequestGuard, ANameIsNoAddressOfTheNetwork) {
  WebRequest request = from_phone("GET", "/");
  set_field(request, "host", "localhost:4505");
  EXPECT_EQ(status(request), 403);
}

}  // namespace
}  // namespace halfarc::server
