// Progress: what a long piece of work tells its owner while it runs, and how the owner asks it to stop.
//
// Work calls report() often and cheaply, from any thread; the receiver decides how often to show it. Work looks at
// stop_requested() between pieces and then returns an Error of kind `cancelled`, leaving nothing half written.
#pragma once

#include <cstddef>
#include <string_view>

#include "halfarc/base/result.h"

namespace halfarc {

class Progress {
 public:
  virtual ~Progress() = default;
  virtual void report(std::string_view stage, std::size_t done, std::size_t total) = 0;
  virtual bool stop_requested() const = 0;
};

// Says nothing and never stops.
class Silent final : public Progress {
 public:
  void report(std::string_view, std::size_t, std::size_t) override {}
  bool stop_requested() const override { return false; }
};

inline Error cancelled() { return {ErrorKind::cancelled, "stopped as asked", {}, {}}; }

}  // namespace halfarc
