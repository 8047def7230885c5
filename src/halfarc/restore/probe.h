// Probes: templates that read how far a small part of a frame has moved, each along one direction, by one sum.
//
// A part of a frame F that shows the reference R moved by u is R - grad R . u, sharper or softer (some Laplacian of R),
// brighter or darker (some of R) and on another sky (a constant). The weighted least-squares solution for u, with all
// these taken along, is linear in F: one template for every direction. It is taken apart along the directions in which
// a part tells most and least, so that a limb or an edge, which say nothing of shifts along themselves, still give
// their one good number, and plain parts give none.
// A frame that is softer than the reference answers with less than its shift, a sharper one with more: by how much is
// the frame's response, told by moving the templates on purpose.
// Accuracy: linear in u to a tenth of the width of the finest detail in the reference, some half a pixel; beyond, the
// templates are moved by whole pixels first (local_reader.h).
// Source: the method of differences, [Lucas1981].
#pragma once

#include <span>
#include <vector>

#include "halfarc/base/pixel.h"
#include "halfarc/frames/plane.h"

namespace halfarc {

struct Probe {
  PixelPoint place;       // the middle of the part, in the reference
  PixelOffset direction;  // along which it reads; of length 1
  int left = 0;           // where its template begins
  int top = 0;
  Plane<float> weights;
  double noise = 0.0;  // variance of a reading (pixels^2) when a sample of brightness b has the variance b
};

// Probes on a grid of `spacing` pixels, each as wide as two steps, where the reference tells anything; the best `most`.
// Valid: spacing from 8; a reference of at least four steps each way gives any.
std::vector<Probe> place_probes(View<const float> reference, int spacing, std::size_t most);

// Whole pixels by which a template is moved over the frame.
struct TemplateStep {
  int x = 0;
  int y = 0;
};

// The shift along the probe's direction that is left after a step, pixels times the frame's response. `frame` has the
// size of the reference; a step that leads beyond its border ends there.
float reading(const Probe& probe, View<const float> frame, TemplateStep step = {});

// The frame's response: 1 where it is as sharp as the reference. `steps` is where the probes' templates lie, or empty.
// The best 48 probes are asked, which must come first. Valid: any frame; held within 0.3 and 3.
float response(std::span<const Probe> probes, View<const float> frame, std::span<const TemplateStep> steps = {});

// The covariance of two probes' readings when a sample of brightness b has the variance b: not 0 where they overlap.
double shared_noise(const Probe& a, const Probe& b);

}  // namespace halfarc
