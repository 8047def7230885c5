// Machine: what the computer under us is: its system, its cores and its memory.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace halfarc {

struct MemorySize {  // bytes
  double all = 0.0;
  double available = 0.0;  // without pushing anything else out
};

struct Machine {
  std::string system;                // "Linux 6.1.0 x86_64"
  int cores = 1;                     // that this process may use
  std::optional<MemorySize> memory;  // nothing where the system does not tell
};

Machine this_machine();

// The text of /proc/meminfo. Nothing when a line is missing. Source: proc(5), Linux man-pages: kB means 1024 bytes.
std::optional<MemorySize> parse_memory(std::string_view text);

}  // namespace halfarc
