// Requests as the listener hands them on, for the tests.
#pragma once

#include <string>

#include "halfarc/server/exchange.h"

namespace halfarc::server {

// One of the owner's own browser on the same machine.
inline WebRequest a_request(std::string method, std::string path, std::string body = {}) {
  WebRequest request;
  request.method = std::move(method);
  request.path = std::move(path);
  request.body = std::move(body);
  request.from = "127.0.0.1";
  request.to = "127.0.0.1";
  request.port = 4505;
  request.fields = {{"host", "127.0.0.1:4505"}};
  if (request.method != "GET") {
    request.fields.emplace("origin", "http://127.0.0.1:4505");
    request.fields.emplace("content-type", "application/json");
    request.fields.emplace("content-length", std::to_string(request.body.size()));
  }
  return request;
}

inline void set_field(WebRequest& request, const std::string& name, const std::string& value) {
  request.fields.erase(name);
  request.fields.emplace(name, value);
}

}  // namespace halfarc::server
