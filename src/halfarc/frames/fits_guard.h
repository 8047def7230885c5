// A look through the headers of a FITS file before CFITSIO is let near it.
//
// CFITSIO 4 asks for memory for as many table columns as a header claims, which a damaged header makes terabytes. The
// standard allows 999 (FITS 4.0, 7.2.1 and 7.3.1), so a file that claims more is refused here.
#pragma once

#include "halfarc/base/result.h"
#include "halfarc/frames/input_file.h"

namespace halfarc {

// Errors (bad input): a table of more columns than the standard allows. Anything else is left to CFITSIO to judge.
Result<void> guard_fits_headers(const InputFile& file);

}  // namespace halfarc
