#include "halfarc/report/seeing_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfarc {
namespace {

constexpr double kWidth = 640.0;
constexpr double kHeight = 190.0;
constexpr double kLeft = 44.0;
constexpr double kRight = 24.0;
constexpr double kTop = 10.0;
constexpr double kBottom = 26.0;

struct Frame {
  Utc begins;
  double hours = 1.0;  // shown
  double most = 1.0;   // arcseconds at the top
  double x(Utc utc) const { return kLeft + (kWidth - kLeft - kRight) * ((utc - begins).s() / 3600.0 / hours); }
  double y(double arcsec) const {
    return kHeight - kBottom - (kHeight - kTop - kBottom) * std::clamp(arcsec / most, 0.0, 1.0);
  }
};

// Whole hours around all readings, and a top that none of their errors passes.
Frame frame_of(const std::vector<SessionSeeing>& seeing) {
  Frame frame;
  const Utc::Civil c = seeing.front().utc.civil();
  frame.begins = seeing.front().utc - Duration::s(60.0 * c.minute + c.second);
  frame.hours = std::max(1.0, std::ceil((seeing.back().utc - frame.begins).s() / 3600.0));
  for (const SessionSeeing& s : seeing)
    frame.most = std::max(frame.most, std::ceil((s.width.value + s.width.sigma).arcsec()));
  return frame;
}

}  // namespace

std::string seeing_chart(const std::vector<SessionSeeing>& seeing) {
  const Frame frame = frame_of(seeing);
  std::string svg = fmt::format(
      "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {:.0f} {:.0f}' role='img' "
      "font-family='Liberation Sans, Arial, sans-serif' font-size='13'>\n<title>Seeing against the hours</title>\n"
      "<g stroke='#bbb' stroke-width='1'>\n",
      kWidth, kHeight);
  std::string labels;
  const double step = frame.most > 6.0 ? 2.0 : frame.most > 2.0 ? 1.0 : 0.5;
  for (double arcsec = 0.0; arcsec <= frame.most; arcsec += step) {
    svg += fmt::format("<line x1='{:.1f}' y1='{:.1f}' x2='{:.1f}' y2='{:.1f}'/>\n", kLeft, frame.y(arcsec),
                       kWidth - kRight, frame.y(arcsec));
    labels += fmt::format("<text x='{:.1f}' y='{:.1f}' text-anchor='end'>{:.3g}\"</text>\n", kLeft - 6.0,
                          frame.y(arcsec) + 4.5, arcsec);
  }
  const double every = frame.hours <= 1.0 ? 0.25 : frame.hours <= 3.0 ? 0.5 : std::ceil(frame.hours / 10.0);
  for (double hour = 0.0; hour <= frame.hours; hour += every) {
    const Utc at = frame.begins + Duration::s(3600.0 * hour);
    labels += fmt::format("<text x='{:.1f}' y='{:.1f}' text-anchor='middle'>{:02d}:{:02d}</text>\n", frame.x(at),
                          kHeight - 8.0, at.civil().hour, at.civil().minute);
  }
  svg += "</g>\n<g fill='#444'>\n" + labels + "</g>\n<g stroke='#111' stroke-width='1.5' fill='#111'>\n";
  for (const SessionSeeing& s : seeing) {
    const double x = frame.x(s.utc);
    const double width = s.width.value.arcsec();
    const double sigma = s.width.sigma.arcsec();
    svg += fmt::format(
        "<line x1='{0:.1f}' y1='{1:.1f}' x2='{0:.1f}' y2='{2:.1f}'/><circle cx='{0:.1f}' cy='{3:.1f}' r='3'/>\n", x,
        frame.y(width - sigma), frame.y(width + sigma), frame.y(width));
  }
  return svg + "</g>\n</svg>\n";
}

}  // namespace halfarc
