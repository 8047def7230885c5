// The one lock around CFITSIO, which keeps a table of open files and a stack of messages for the whole process.
#pragma once

#include <mutex>

namespace halfarc {

inline std::mutex& cfitsio_lock() {
  static std::mutex mutex;
  return mutex;
}

}  // namespace halfarc
