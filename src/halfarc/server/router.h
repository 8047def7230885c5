// Router: which function answers which address. A pattern is a path in which {} stands for one part that is an id:
// "/api/recordings/{}/picture.png".
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "halfarc/server/exchange.h"

namespace halfarc::server {

using Answer = std::function<WebAnswer(const WebRequest&)>;

class Router {
 public:
  void add(std::string method, std::string pattern, Answer answer);

  // The answer of the first route that fits, with `ids` filled in. HEAD is answered as GET. An id is 1 to 80 letters,
  // digits, '-' or '_'; anything else fits nothing. 404 when no path fits, 405 when only the method does not.
  WebAnswer route(WebRequest request) const;

 private:
  struct Route {
    std::string method;
    std::vector<std::string> parts;
    Answer answer;
  };
  std::vector<Route> routes_;
};

// "/api/jobs/" is its parts "api", "jobs" and "".
std::vector<std::string> parts_of(const std::string& path);

}  // namespace halfarc::server
