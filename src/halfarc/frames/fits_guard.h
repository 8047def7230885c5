// A look through the headers of a FITS file before CFITSIO is let near it.
//
// CFITSIO 4 asks for memory for as many table columns as a header claims, and for a chance number of them when a
// mandatory keyword of the table cannot be read: terabytes either way. So the headers of tables must begin as the
// standard asks (FITS 4.0, 7.2.1 and 7.3.1: eight keywords in order, at most 999 columns), or the file is refused here.
#pragma once

#include "halfarc/base/result.h"
#include "halfarc/frames/input_file.h"

namespace halfarc {

// Errors (bad input): a damaged table header. Anything else is left to CFITSIO to judge.
Result<void> guard_fits_headers(const InputFile& file);

}  // namespace halfarc
