#include "halfarc/base/machine.h"

#include <sys/utsname.h>

#include <charconv>
#include <fstream>
#include <iterator>

#include "halfarc/base/parallel.h"

namespace halfarc {
namespace {

std::optional<double> kilobytes(std::string_view text, std::string_view name) {
  const std::size_t at = text.find(name);
  if (at == std::string_view::npos) return std::nullopt;
  const std::size_t digits = text.find_first_not_of(' ', at + name.size());
  if (digits == std::string_view::npos) return std::nullopt;
  double value = 0.0;
  const auto read = std::from_chars(text.data() + digits, text.data() + text.size(), value);
  if (read.ec != std::errc()) return std::nullopt;
  return 1024.0 * value;
}

std::string system_name() {
  utsname name{};
  if (::uname(&name) != 0) return "an unknown system";
  return std::string(name.sysname) + " " + name.release + " " + name.machine;
}

}  // namespace

std::optional<MemorySize> parse_memory(std::string_view text) {
  const auto all = kilobytes(text, "MemTotal:"), available = kilobytes(text, "MemAvailable:");
  if (!all || !available) return std::nullopt;
  return MemorySize{*all, *available};
}

Machine this_machine() {
  std::ifstream in("/proc/meminfo");
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  return {system_name(), thread_count({}), parse_memory(text)};
}

}  // namespace halfarc
