#include "halfarc/app/plan_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace halfarc {
namespace {

constexpr double kWidth = 720.0, kHeight = 300.0;
constexpr double kLeft = 34.0, kRight = 8.0, kTop = 18.0, kBottom = 22.0;

// One colour a target, told apart in grey print by its name at the curve.
std::string_view colour_of(sky::Body body) {
  constexpr std::array colours = {"#000000", "#4a4a4a", "#8a5a2b", "#9a7d0a", "#b5341b",
                                  "#a0522d", "#7d6608", "#117a8b", "#1f4fa3"};
  return colours[static_cast<std::size_t>(body)];
}

struct Frame {
  Utc from, to;

  double x(Utc t) const { return kLeft + (kWidth - kLeft - kRight) * ((t - from) / (to - from)); }
  double y(Angle altitude) const {
    const double share = std::clamp(altitude.deg() / 90.0, 0.0, 1.0);
    return kHeight - kBottom - (kHeight - kTop - kBottom) * share;
  }
};

// From an hour before sunset to an hour after sunrise, on whole hours; noon to noon where the Sun does neither.
Frame frame_of(const sky::Night& n) {
  const Utc from = n.sun_down.begins ? *n.sun_down.begins - Duration::hours(1.0) : n.noon_before;
  const Utc to = n.sun_down.ends ? *n.sun_down.ends + Duration::hours(1.0) : n.noon_after;
  constexpr std::int64_t hour = 3'600'000'000'000;
  return {Utc::unix_ns(from.unix_ns() / hour * hour), Utc::unix_ns((to.unix_ns() / hour + 1) * hour)};
}

void shade(std::string& svg, const Frame& f, const sky::DarkSpan& span, bool dark_at_midnight,
           std::string_view colour) {
  if (!span.begins && !span.ends && !dark_at_midnight) return;
  const double left = span.begins ? std::max(f.x(*span.begins), kLeft) : kLeft;
  const double right = span.ends ? std::min(f.x(*span.ends), kWidth - kRight) : kWidth - kRight;
  svg += fmt::format("<rect x='{:.1f}' y='{:.1f}' width='{:.1f}' height='{:.1f}' fill='{}'/>\n", left, kTop,
                     right - left, kHeight - kTop - kBottom, colour);
}

void add_ground(std::string& svg, const Frame& f, const sky::Night& n) {
  svg += fmt::format("<rect x='{:.1f}' y='{:.1f}' width='{:.1f}' height='{:.1f}' fill='#ffffff'/>\n", kLeft, kTop,
                     kWidth - kLeft - kRight, kHeight - kTop - kBottom);
  shade(svg, f, n.sun_down, n.lowest_sun < Angle::deg(-0.83), "#f1f1f4");
  shade(svg, f, n.civil, n.lowest_sun < sky::kCivilTwilight, "#e4e4ea");
  shade(svg, f, n.nautical, n.lowest_sun < sky::kNauticalTwilight, "#d6d6e0");
  shade(svg, f, n.astronomical, n.lowest_sun < sky::kAstronomicalTwilight, "#c8c8d6");
}

void add_grid(std::string& svg, const Frame& f) {
  for (int altitude = 0; altitude <= 90; altitude += 15) {
    const double y = f.y(Angle::deg(altitude));
    svg += fmt::format(
        "<line x1='{:.1f}' x2='{:.1f}' y1='{:.1f}' y2='{:.1f}' stroke='#999' stroke-width='0.4'/>"
        "<text x='{:.1f}' y='{:.1f}' text-anchor='end'>{}&#176;</text>\n",
        kLeft, kWidth - kRight, y, y, kLeft - 4.0, y + 3.5, altitude);
  }
  const double hours = (f.to - f.from).hours();
  const double step = hours > 16.0 ? 2.0 : 1.0;
  for (double h = 0.0; h <= hours + 0.01; h += step) {
    const Utc t = f.from + Duration::hours(h);
    svg += fmt::format(
        "<line x1='{0:.1f}' x2='{0:.1f}' y1='{1:.1f}' y2='{2:.1f}' stroke='#999' stroke-width='0.4'/>"
        "<text x='{0:.1f}' y='{3:.1f}' text-anchor='middle'>{4:02}h</text>\n",
        f.x(t), kTop, kHeight - kBottom, kHeight - 8.0, t.civil().hour);
  }
}

// The curve above the horizon as runs of points; `usable_only` keeps what can be recorded.
void add_curve(std::string& svg, const Frame& f, const TargetNight& t, bool usable_only) {
  std::string points;
  const auto finish = [&] {
    if (!points.empty()) {
      svg += fmt::format("<polyline points='{}' fill='none' stroke='{}' stroke-width='{}'{}/>\n", points,
                         colour_of(t.body), usable_only ? "2.6" : "0.8", usable_only ? "" : " stroke-dasharray='3 2'");
    }
    points.clear();
  };
  for (const StripStep& s : t.strip) {
    const bool inside = s.at >= f.from && s.at <= f.to && s.seen_altitude.rad() >= 0.0;
    if (!inside || (usable_only && !s.usable)) {
      finish();
    } else {
      points += fmt::format("{:.1f},{:.1f} ", f.x(s.at), f.y(s.seen_altitude));
    }
  }
  finish();
}

struct Label {
  double x, y;
  sky::Body body;
};

// Names stand above the best moment; one that would cover another moves up, or down where there is no room above.
void add_labels(std::string& svg, const Frame& f, const NightPlan& plan) {
  std::vector<Label> placed;
  for (const TargetNight& t : plan.targets) {
    if (t.windows.empty()) continue;
    Label l{f.x(t.windows.front().best), f.y(t.windows.front().best_altitude) - 5.0, t.body};
    l.x = std::clamp(l.x, kLeft + 24.0, kWidth - kRight - 24.0);
    const auto covered = [&](const Label& other) {
      return std::abs(other.x - l.x) < 46.0 && std::abs(other.y - l.y) < 10.0;
    };
    for (int i = 0; i < 20 && std::any_of(placed.begin(), placed.end(), covered); ++i)
      l.y += l.y > kTop + 20.0 ? -10.0 : 31.0;
    placed.push_back(l);
  }
  for (const Label& l : placed) {
    svg += fmt::format("<text x='{:.1f}' y='{:.1f}' text-anchor='middle' class='name' style='fill:{}'>{}</text>\n", l.x,
                       l.y, colour_of(l.body), name_of(l.body));
  }
}

}  // namespace

std::string plan_chart(const NightPlan& plan) {
  const Frame f = frame_of(plan.night);
  std::string svg = fmt::format(
      "<svg viewBox='0 0 {:.0f} {:.0f}' role='img' aria-label='Altitude of each target through the night'>\n", kWidth,
      kHeight);
  add_ground(svg, f, plan.night);
  add_grid(svg, f);
  for (const TargetNight& t : plan.targets) add_curve(svg, f, t, false);
  for (const TargetNight& t : plan.targets) add_curve(svg, f, t, true);
  add_labels(svg, f, plan);
  return svg + "</svg>\n";
}

}  // namespace halfarc
