// Exchange: one question over HTTP and its answer, as plain values. Nothing here knows of sockets, so that every rule
// and every route is a function that a test can call.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "halfarc/base/result.h"

namespace halfarc::server {

struct WebRequest {
  std::string method;                              // "GET", ...
  std::string path;                                // decoded, without the query
  std::multimap<std::string, std::string> query;   // decoded
  std::multimap<std::string, std::string> fields;  // of the header; names in lower case
  std::string body;
  std::string from;              // address of the other end: "127.0.0.1"
  std::string to;                // address of this end
  int port = 0;                  // of this end
  std::vector<std::string> ids;  // what stood for the {} of the route's pattern

  // The first field of that name (lower case); empty when there is none.
  std::string field(const std::string& name) const;
  // The first value of a query's key; empty when there is none. And all of them.
  std::string asked(const std::string& key) const;
  std::vector<std::string> all_asked(const std::string& key) const;
  // A whole number of the query, `usual` when it is not asked. Errors: no number, or outside its range.
  Result<int> number_asked(const std::string& key, int usual, int least, int most) const;
};

// Whether the request comes from this machine itself.
bool from_loopback(const WebRequest& request);

// What an endless answer calls to send; false when nobody listens any more.
using Send = std::function<bool(std::string_view)>;

struct WebAnswer {
  int status = 200;
  std::string type = "application/json";
  std::string body;
  std::vector<std::pair<std::string, std::string>> fields;
  // Of an endless answer: called again and again until it says false; it may wait up to a second.
  std::function<bool(const Send&)> stream;
};

WebAnswer json_answer(std::string document, int status = 200);
WebAnswer ok_answer();  // {"ok":true}

// {"error":{what,where,to_do}} with control characters taken out.
WebAnswer error_answer(int status, const Error& error);

// The status that an error of the use cases deserves: 422 bad input, 403 refused, 400 usage, else 500.
int status_of(ErrorKind kind);
inline WebAnswer error_answer(const Error& error) { return error_answer(status_of(error.kind), error); }

// A document, or the error in its place.
WebAnswer answer_of(const Result<std::string>& document);

}  // namespace halfarc::server
