// LibraryVersions: which libraries read and write recordings here, as they themselves say at run time.
#pragma once

#include <string>
#include <vector>

namespace halfarc {

// "CFITSIO 4.2.0", one a library, in fixed order.
std::vector<std::string> library_versions();

}  // namespace halfarc
