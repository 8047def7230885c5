#include "halfarc/restore/shift_field.h"

#include <algorithm>

namespace halfarc {
namespace {

// A node and how far beyond it a place lies.
struct Between {
  int node;
  float part;
};

Between between(double place, int spacing, int nodes) {
  const double at = std::clamp(place / spacing, 0.0, static_cast<double>(nodes - 1));
  const int node = std::clamp(static_cast<int>(at), 0, std::max(0, nodes - 2));
  return {node, static_cast<float>(at - node)};
}

float mixed(const Plane<float>& plane, Between across, Between down) {
  const int right = std::min(across.node + 1, plane.width() - 1);
  const int below = std::min(down.node + 1, plane.height() - 1);
  const float upper = (1.0F - across.part) * plane(across.node, down.node) + across.part * plane(right, down.node);
  const float lower = (1.0F - across.part) * plane(across.node, below) + across.part * plane(right, below);
  return (1.0F - down.part) * upper + down.part * lower;
}

}  // namespace

PixelOffset shift_at(const ShiftField& field, PixelPoint place) {
  const Between across = between(place.x, field.spacing, field.x.width());
  const Between down = between(place.y, field.spacing, field.x.height());
  return {static_cast<double>(mixed(field.x, across, down)), static_cast<double>(mixed(field.y, across, down))};
}

}  // namespace halfarc
