// Defocus contrast: what a wavefront error of W r^2 leaves of detail of any fineness, with its sign, in one integral.
//
// The overlap of the pupil with itself shifted by s along x: across it the path differs by 2 W s x, so
//     H(s) = 1/A integral of L(x) cos(4 pi W s x) dx,
// with L(x) the length of the overlap at x: the shorter of the two outer chords less the longer of the two inner ones.
// For any wavefront: optics/wavefront.h.
#pragma once

namespace halfarc {

// `share` is the frequency over the telescope's cut-off, `waves` the path at the edge of the pupil. Contrast of the
// aberrated telescope, 1 at frequency nil; negative where dark and bright change places.
// Valid: 0 <= obstruction < 1; |waves| <= 10. Accuracy: 1e-3. Source: [Goodman2005] 6.4.
double defocus_contrast(double obstruction, double share, double waves);

}  // namespace halfarc
