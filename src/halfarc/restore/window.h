// Window: the part of the frame that is worth computing on.
//
// A disc of 90 pixels in a frame of 1936 x 1096 needs a window of about 200 pixels, not the whole frame. The window
// always begins on even pixels, so that the colour pattern inside it is the pattern of the frame.
#pragma once

namespace halfarc {

struct Window {
  int x = 0;
  int y = 0;
  int width = 0;
  int height = 0;
};

// The smallest number >= n that is even and whose prime factors are 2, 3, 5 and 7 only: sizes that Fourier transforms
// do fast. Valid: n >= 1.
int fast_size(int n);

// A window of fast sizes around the box [x0, x1] x [y0, y1] (pixels) with `margin` pixels on every side, moved and cut
// to lie inside a frame of width x height; the whole (even) extent of an axis when the box needs more than three
// quarters of it.
Window window_around(double x0, double y0, double x1, double y1, int margin, int width, int height);

}  // namespace halfarc
