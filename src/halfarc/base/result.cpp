#include "halfarc/base/result.h"

#include <algorithm>

namespace halfarc {

std::string Error::line() const {
  std::string text;
  if (!where.empty()) text += where + ": ";
  text += what;
  if (!to_do.empty()) text += "; " + to_do;
  const auto is_control = [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; };
  std::replace_if(text.begin(), text.end(), is_control, ' ');
  return text;
}

int exit_code(ErrorKind kind) {
  switch (kind) {
    case ErrorKind::failed:
    case ErrorKind::cancelled:
      return 1;
    case ErrorKind::usage:
      return 2;
    case ErrorKind::bad_input:
      return 3;
    case ErrorKind::refused:
      return 4;
  }
  return 1;
}

}  // namespace halfarc
