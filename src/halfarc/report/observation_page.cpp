#include "halfarc/report/observation_page.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <string_view>
#include <vector>

#include "halfarc/report/base64.h"
#include "halfarc/report/markup.h"
#include "halfarc/report/observation_rows.h"
#include "halfarc/report/observation_text.h"
#include "halfarc/report/print_style.h"

namespace halfarc {
namespace {

constexpr double kWidth = 640.0;  // of the drawing
constexpr double kLine = 16.0;    // of the data block
constexpr double kArrow = 34.0;   // length
constexpr double kMargin = 12.0;
constexpr std::size_t kLetters = 96;  // that fit on a line of the data block

// An arrow from (x, y) towards `direction`, clockwise from up, with its letter beyond the head.
std::string arrow(double x, double y, Angle direction, std::string_view letter) {
  const double dx = std::sin(direction.rad());
  const double dy = -std::cos(direction.rad());
  const double tip_x = x + kArrow * dx;
  const double tip_y = y + kArrow * dy;
  const auto wing = [&](double side) {
    return fmt::format("{:.1f},{:.1f}", tip_x - 8.0 * dx - side * 4.0 * dy, tip_y - 8.0 * dy + side * 4.0 * dx);
  };
  return fmt::format(
      "<line x1='{:.1f}' y1='{:.1f}' x2='{:.1f}' y2='{:.1f}'/><polygon points='{:.1f},{:.1f} {} {}'/>"
      "<text x='{:.1f}' y='{:.1f}' stroke='none' text-anchor='middle'>{}</text>\n",
      x, y, tip_x, tip_y, tip_x, tip_y, wing(1.0), wing(-1.0), x + (kArrow + 11.0) * dx, y + (kArrow + 11.0) * dy + 4.5,
      letter);
}

// North, and east a quarter turn from it: against the clock where the picture is as seen, with it in a mirror.
std::string arrows(const Orientation& orientation, double height) {
  const double x = kMargin + kArrow + 20.0;
  const double y = height - x;
  const Angle east = orientation.north + Angle::deg(orientation.mirrored ? 90.0 : -90.0);
  return arrow(x, y, orientation.north, "N") + arrow(x, y, east, "E");
}

// A bar of whole arcseconds, about a fifth of the picture.
std::string scale_bar(double arcsec_per_unit, double height) {
  const double about = 0.2 * kWidth * arcsec_per_unit;
  double length = 1.0;
  for (const double one : {1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0}) {
    if (one <= about) length = one;
  }
  const double right = kWidth - kMargin;
  const double left = right - length / arcsec_per_unit;
  const double y = height - 2.0 * kMargin;
  return fmt::format(
      "<line x1='{0:.1f}' y1='{2:.1f}' x2='{1:.1f}' y2='{2:.1f}'/><text x='{3:.1f}' y='{4:.1f}' "
      "stroke='none' text-anchor='middle'>{5:.0f}\"</text>\n",
      left, right, y, 0.5 * (left + right), y - 6.0, length);
}

// The caption in lines that fit.
std::vector<std::string> lines_of(std::string_view text) {
  std::vector<std::string> lines;
  while (!text.empty()) {
    std::size_t end = text.size();
    if (end > kLetters) {
      const std::size_t space = text.rfind(' ', kLetters);
      end = space == std::string_view::npos ? text.find(' ') : space;
      if (end == std::string_view::npos) end = text.size();
    }
    lines.emplace_back(text.substr(0, end));
    text.remove_prefix(std::min(text.size(), end + 1));
  }
  return lines;
}

}  // namespace

std::string picture_with_data(const Observation& observation, const ReportPicture& picture) {
  const double unit = kWidth / picture.width;  // of the drawing, a pixel
  const double height = unit * picture.height;
  const std::vector<std::string> lines = lines_of(caption(observation));
  const double whole = height + kLine * (static_cast<double>(lines.size()) + 1.0);
  std::string svg = fmt::format(
      "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {0:.0f} {1:.1f}' width='{0:.0f}' height='{1:.1f}' "
      "role='img'>\n<title>{2}</title>\n<rect width='{0:.0f}' height='{1:.1f}' fill='#000'/>\n"
      "<image width='{0:.0f}' height='{3:.1f}' href='data:image/png;base64,{4}'/>\n"
      "<g stroke='#ddd' stroke-width='1.5' fill='#ddd' font-family='Liberation Sans, Arial, sans-serif' "
      "font-size='13'>\n",
      kWidth, whole, escaped(observation.object), height, base64(picture.png));
  if (observation.orientation) svg += arrows(*observation.orientation, height);
  if (observation.arcsec_per_px) svg += scale_bar(*observation.arcsec_per_px / unit, height);
  svg += "</g>\n<g fill='#ddd' font-family='Liberation Sans, Arial, sans-serif' font-size='12'>\n";
  for (std::size_t i = 0; i < lines.size(); ++i) {
    svg += fmt::format("<text x='{:.0f}' y='{:.1f}'>{}</text>\n", kMargin,
                       height + kLine * (static_cast<double>(i) + 1.0), escaped(lines[i]));
  }
  return svg + "</g>\n</svg>\n";
}

std::string observation_page(const Observation& observation, const ReportPicture& picture) {
  const std::string title = observation.object + ", " + report_time(observation.middle);
  std::string html = fmt::format(
      "<!DOCTYPE html>\n<html lang='en'>\n<head>\n<meta charset='utf-8'>\n"
      "<meta name='viewport' content='width=device-width, initial-scale=1'>\n<title>{0}</title>\n"
      "<style>{1}</style>\n</head>\n<body>\n<h1>{0}</h1>\n",
      escaped(title), kPrintStyle);
  if (!picture.png.empty() && picture.width > 0) html += picture_with_data(observation, picture);
  for (const ReportSection& section : sections_of(observation)) {
    html += fmt::format("<h2>{}</h2>\n<table>\n", escaped(section.title));
    for (const ReportRow& row : section.rows) {
      html += fmt::format("<tr><th scope='row'>{}</th><td>{}</td></tr>\n", escaped(row.label), escaped(row.value));
    }
    html += "</table>\n";
  }
  return html + "</body>\n</html>\n";
}

}  // namespace halfarc
