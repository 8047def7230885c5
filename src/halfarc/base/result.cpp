#include "halfarc/base/result.h"

namespace halfarc {

std::string Error::line() const {
  std::string text;
  if (!where.empty()) text += where + ": ";
  text += what;
  if (!to_do.empty()) text += "; " + to_do;
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
