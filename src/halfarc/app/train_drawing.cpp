#include "halfarc/app/train_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <vector>

#include "halfarc/app/label_row.h"
#include "halfarc/report/markup.h"

namespace halfarc {
namespace {

constexpr double kWidth = 960.0;
constexpr double kLeft = 124.0;  // of the rear port, or of a lens that reaches into the tube
constexpr double kRight = 86.0;  // kept free behind the sensor
constexpr double kMostPxPerMm = 6.5;
constexpr double kHead = 58.0;  // title and summary
constexpr double kLabelRow = 34.0;
constexpr double kLeader = 26.0;  // between labels and bodies
constexpr double kLetter = 6.3;   // a usual letter of the labels
constexpr double kSmallLetter = 5.4;
constexpr double kRulerHeight = 40.0;
constexpr double kMeasureRow = 18.0;
constexpr Length kWall = Length::mm(4.0);
constexpr Length kSameFocus = Length::mm(0.1);
constexpr Length kBehindSensor = Length::mm(11.0);  // of the camera's body

constexpr std::string_view kStyle =
    "text{font:12px 'Liberation Sans','Helvetica Neue',Arial,sans-serif;fill:#111}"
    ".t{font-size:17px;font-weight:bold}.n{font-weight:bold}.s{font-size:10.5px;fill:#444}"
    ".m{text-anchor:middle}.e{text-anchor:end}"
    ".wall{fill:#cfcfcf;stroke:#111;stroke-width:1}.outline{fill:none;stroke:#111;stroke-width:1}"
    ".hint{fill:#fff;stroke:#777;stroke-width:1}.field{fill:#f3ead2}.axis{fill:#e0c47e}"
    ".ray{fill:none;stroke:#7a5c10;stroke-width:.8}.edge{fill:none;stroke:#7a5c10;stroke-width:.7;stroke-dasharray:4 3}"
    ".glass{fill:#bcd9e6;fill-opacity:.75;stroke:#1b4a5e;stroke-width:1}"
    ".thin{fill:none;stroke:#777;stroke-width:.6}.mid{stroke:#777;stroke-width:.6;stroke-dasharray:9 3 2 3}"
    ".sensor{stroke:#000;stroke-width:3.5}.tick{stroke:#111;stroke-width:.8}";

// A distance worth knowing, along the axis.
struct Measure {
  Length from;
  Length to;
  std::string words;
};

class Drawing {
 public:
  explicit Drawing(const TrainAnswer& answer);
  std::string svg();

 private:
  double x(Length at) const { return port_ + at.mm() * scale_; }
  double up(Length diameter) const { return axis_ - diameter.mm() / 2.0 * scale_; }
  double down(Length diameter) const { return axis_ + diameter.mm() / 2.0 * scale_; }

  Length opening(const PlacedPart& p) const;
  Length body(const PlacedPart& p) const { return opening(p) + kWall * 2.0; }

  void place_labels();
  void find_measures();
  void box(const char* style, double left, double top, double right, double bottom);
  void line(const char* style, double x1, double y1, double x2, double y2);
  void text(const char* style, double at_x, double at_y, std::string_view words);

  void head();
  void tube();
  void beam();
  void walls(const PlacedPart& p);
  void camera(const PlacedPart& p);
  void glass(const PlacedPart& p);
  void prisms(const PlacedPart& p);
  void lens(const PlacedPart& p, const ThinLens& lens);
  void foci();
  void labels();
  void ruler();
  void measures();

  const TrainAnswer& a_;
  const TrainSolution& s_;
  double scale_ = 1.0;   // px a mm
  double port_ = kLeft;  // x of the rear port
  double axis_ = 0.0;    // y of the axis
  double floor_ = 0.0;   // y of the lowest body
  Length widest_;
  std::size_t rows_ = 1;  // of labels: above, and below
  std::vector<double> label_x_;
  std::vector<std::string> names_;
  std::vector<Measure> measures_;
  std::string svg_;
};

// Names of any length stay readable: the end of a long one goes.
std::string short_name(const std::string& name) {
  constexpr std::size_t kMost = 24;
  if (name.size() <= kMost) return name;
  std::size_t end = kMost - 1;
  while (end > 0 && (static_cast<unsigned char>(name[end]) & 0xC0) == 0x80) --end;  // whole letters of UTF-8
  return name.substr(0, end) + "...";
}

std::string length_words(const PlacedPart& p, Length sensor) {
  if (p.part.lenses.empty()) return fmt::format("{:.1f} mm, f/{:.1f}", p.part.length.mm(), p.focal_ratio);
  return fmt::format("{:.1f} mm, {:.2f} x", p.part.length.mm(),
                     amplification(p.part.lenses, sensor - p.start).magnification);
}

double text_width(const std::string& words, double letter) { return letter * static_cast<double>(words.size()); }

Drawing::Drawing(const TrainAnswer& answer) : a_(answer), s_(answer.train) {
  const Length front = s_.beam.empty() ? Length() : s_.beam.front().at;
  scale_ = std::min(kMostPxPerMm, (kWidth - kLeft - kRight) / std::max(s_.sensor - front, Length::mm(10.0)).mm());
  port_ = kLeft - front.mm() * scale_;
  for (const PlacedPart& p : s_.parts) widest_ = std::max(widest_, body(p));
  widest_ = std::max(widest_, Length::mm(40.0));
  place_labels();
  find_measures();
  axis_ = kHead + kLabelRow + kLeader + widest_.mm() / 2.0 * scale_ + 8.0;
  floor_ = down(widest_) + 8.0 + (rows_ == 2 ? kLeader + kLabelRow : 0.0);
}

// As wide as the owner says; else as is usual, and as the light needs.
Length Drawing::opening(const PlacedPart& p) const {
  const Length light = std::max({p.front_field_beam, p.rear_field_beam, Length::mm(20.0)}) + Length::mm(4.0);
  if (p.part.kind == PartKind::camera) return std::max(Length::mm(30.0), light);
  return p.part.clear_aperture > Length() ? p.part.clear_aperture : light;
}

// One row of labels, above; or where there is no room for all, every second one below.
void Drawing::place_labels() {
  std::vector<Label> wishes;
  double sum = 0.0;
  for (const PlacedPart& p : s_.parts) {
    names_.push_back(short_name(p.part.name));
    const double width =
        std::max(text_width(names_.back(), kLetter + 0.6), text_width(length_words(p, s_.sensor), kSmallLetter)) + 12.0;
    wishes.push_back({x(p.start + p.part.length / 2.0), width});
    sum += width;
  }
  rows_ = sum > kWidth - 20.0 ? 2 : 1;
  label_x_.resize(wishes.size());
  for (std::size_t row = 0; row < rows_; ++row) {
    std::vector<Label> in_row;
    for (std::size_t i = row; i < wishes.size(); i += rows_) in_row.push_back(wishes[i]);
    const auto middles = label_middles(in_row, 10.0, kWidth - 10.0);
    for (std::size_t i = 0; i < middles.size(); ++i) label_x_[row + i * rows_] = middles[i];
  }
}

void Drawing::find_measures() {
  const auto to_sensor = [&](Length from, const std::string& what) {
    measures_.push_back({from, s_.sensor, fmt::format("{} to sensor {:.1f} mm", what, (s_.sensor - from).mm())});
  };
  to_sensor(Length(), "rear port");
  for (const PlacedPart& p : s_.parts) {
    if (p.part.kind == PartKind::corrector && a_.rig.corrector) {
      const PrismPair& pair = *a_.rig.corrector;
      to_sensor(p.start + 2.0 * pair.thickness + pair.gap, "last prism");
    } else if (!p.part.lenses.empty()) {
      to_sensor(p.start + p.part.lenses.back().at, p.part.lenses.size() > 1 ? "last lens" : "lens");
    }
  }
  if (abs(s_.back_focus - s_.sensor) > kSameFocus) {
    measures_.push_back(
        {Length(), s_.back_focus,
         fmt::format("back focus {:.1f} mm: the telescope alone would focus here", s_.back_focus.mm())});
  }
}

void Drawing::box(const char* style, double left, double top, double right, double bottom) {
  svg_ += fmt::format("<rect class='{}' x='{:.1f}' y='{:.1f}' width='{:.1f}' height='{:.1f}'/>\n", style, left, top,
                      right - left, bottom - top);
}

void Drawing::line(const char* style, double x1, double y1, double x2, double y2) {
  svg_ += fmt::format("<line class='{}' x1='{:.1f}' y1='{:.1f}' x2='{:.1f}' y2='{:.1f}'/>\n", style, x1, y1, x2, y2);
}

void Drawing::text(const char* style, double at_x, double at_y, std::string_view words) {
  svg_ += fmt::format("<text class='{}' x='{:.1f}' y='{:.1f}'>{}</text>\n", style, at_x, at_y, escaped(words));
}

void Drawing::head() {
  const std::string name = a_.rig.name.empty() ? "The train" : a_.rig.name;
  text("t", 14.0, 24.0, a_.change ? fmt::format("{} ({})", name, a_.change->part) : name);
  text("s", 14.0, 42.0,
       fmt::format(
           "{:.0f} mm, f/{:.1f}; {:.4f}\" a pixel; field {:.0f}\" x {:.0f}\"; focus within {:.0f} um at the sensor",
           s_.focal_length.mm(), s_.focal_ratio, a_.scale.arcsec_per_px(), a_.field_width.arcsec(),
           a_.field_height.arcsec(), a_.focus.sensor.um()));
}

// The end of the telescope's tube, torn off.
void Drawing::tube() {
  const double top = up(widest_) - 6.0, bottom = down(widest_) + 6.0, left = 26.0;
  std::string path =
      fmt::format("M{0:.1f} {1:.1f}L{2:.1f} {1:.1f}L{2:.1f} {3:.1f}L{0:.1f} {3:.1f}", left, top, port_, bottom);
  const double tooth = (bottom - top) / 6.0;
  for (int i = 0; i < 6; ++i) {
    path += fmt::format("L{:.1f} {:.1f}L{:.1f} {:.1f}", left + (i % 2 == 0 ? 7.0 : -7.0), bottom - tooth * (i + 0.5),
                        left, bottom - tooth * (i + 1.0));
  }
  svg_ += fmt::format("<path class='hint' d='{}Z'/>\n", path);
  text("s", left + 12.0, top + 16.0, "telescope");
}

// Both beams, from the tube on; before the first step they run on as straight as between the first two.
void Drawing::beam() {
  std::vector<BeamStep> steps = s_.beam;
  if (steps.size() < 2) return;
  const Length left = Length::mm((30.0 - port_) / scale_);
  if (steps.front().at > left) {
    const double back = (left - steps[0].at) / std::max(steps[1].at - steps[0].at, Length::um(1.0));
    steps.insert(steps.begin(), {left, steps[0].axis + (steps[1].axis - steps[0].axis) * back,
                                 steps[0].field + (steps[1].field - steps[0].field) * back});
  }
  const auto outline = [&](Length BeamStep::*wide) {
    std::string above, below;
    for (const BeamStep& step : steps) {
      above += fmt::format("{:.1f},{:.2f} ", x(step.at), up(step.*wide));
      below = fmt::format("{:.1f},{:.2f} ", x(step.at), down(step.*wide)) + below;
    }
    return std::pair(above, below);
  };
  const auto [field_up, field_down] = outline(&BeamStep::field);
  const auto [axis_up, axis_down] = outline(&BeamStep::axis);
  svg_ += fmt::format("<polygon class='field' points='{}{}'/>\n<polygon class='axis' points='{}{}'/>\n", field_up,
                      field_down, axis_up, axis_down);
  for (const std::string& points : {field_up, field_down})
    svg_ += fmt::format("<polyline class='edge' points='{}'/>\n", points);
  for (const std::string& points : {axis_up, axis_down})
    svg_ += fmt::format("<polyline class='ray' points='{}'/>\n", points);
}

void Drawing::walls(const PlacedPart& p) {
  const double left = x(p.start), right = x(p.start + p.part.length);
  box("wall", left, up(body(p)), right, up(opening(p)));
  box("wall", left, down(opening(p)), right, down(body(p)));
  if (p.part.kind == PartKind::diagonal) line("thin", left, down(opening(p)), right, up(opening(p)));
}

void Drawing::camera(const PlacedPart& p) {
  const double left = x(p.start), back = x(s_.sensor + kBehindSensor);
  svg_ += fmt::format(
      "<path class='wall' d='M{0:.1f} {1:.1f}H{2:.1f}V{3:.1f}H{0:.1f}V{4:.1f}H{5:.1f}V{6:.1f}H{0:.1f}Z'/>\n", left,
      up(body(p)), back, down(body(p)), down(opening(p)), x(s_.sensor) + 4.0, up(opening(p)));
  line("sensor", x(s_.sensor), up(p.part.clear_aperture), x(s_.sensor), down(p.part.clear_aperture));
}

void Drawing::glass(const PlacedPart& p) {
  if (p.part.kind == PartKind::corrector && a_.rig.corrector) return prisms(p);
  if (p.part.glass > Length()) box("glass", x(p.start), up(opening(p)), x(p.start + p.part.glass), down(opening(p)));
}

// Both with their bases up, as when the levers are wide.
void Drawing::prisms(const PlacedPart& p) {
  const PrismPair& pair = *a_.rig.corrector;
  const double lean = opening(p).mm() / 2.0 * tan(pair.apex) * scale_;
  const double top = up(opening(p)), bottom = down(opening(p));
  const double first = x(p.start), inner = x(p.start + pair.thickness);
  const double second = x(p.start + pair.thickness + pair.gap), last = x(p.start + 2.0 * pair.thickness + pair.gap);
  svg_ += fmt::format("<path class='glass' d='M{0:.1f} {1:.1f}L{2:.1f} {1:.1f}L{3:.1f} {4:.1f}L{0:.1f} {4:.1f}Z'/>\n",
                      first, top, inner + lean, inner - lean, bottom);
  svg_ += fmt::format("<path class='glass' d='M{0:.1f} {1:.1f}L{2:.1f} {1:.1f}L{2:.1f} {3:.1f}L{4:.1f} {3:.1f}Z'/>\n",
                      second - lean, top, last, bottom, second + lean);
}

// Waisted when it spreads the light, bellied when it gathers it.
void Drawing::lens(const PlacedPart& p, const ThinLens& lens) {
  const double at = x(p.start + lens.at), top = up(opening(p)), bottom = down(opening(p));
  const bool gathers = lens.focal_length > Length();
  const double rim = gathers ? 1.0 : 1.0 + 1.6 * scale_ / 2.0,
               belly = gathers ? 1.0 + 2.2 * scale_ : 1.0 - 1.6 * scale_ / 2.0;
  svg_ += fmt::format(
      "<path class='glass' d='M{:.1f} {:.1f}Q{:.1f} {:.1f} {:.1f} {:.1f}L{:.1f} {:.1f}Q{:.1f} {:.1f} {:.1f} "
      "{:.1f}Z'/>\n",
      at - rim, top, at - belly, axis_, at - rim, bottom, at + rim, bottom, at + belly, axis_, at + rim, top);
}

// Where the telescope alone would focus: an open ring. Where the light really meets: a dot.
void Drawing::foci() {
  const auto ring = [&](Length at, const char* fill, double radius) {
    svg_ += fmt::format("<circle cx='{:.1f}' cy='{:.1f}' r='{:.1f}' fill='{}' stroke='#000'/>\n", x(at), axis_, radius,
                        fill);
  };
  if (abs(s_.back_focus - s_.sensor) > kSameFocus) ring(s_.back_focus, "#fff", 3.5);
  ring(s_.sensor, "#000", 2.5);
}

void Drawing::labels() {
  for (std::size_t i = 0; i < s_.parts.size(); ++i) {
    const PlacedPart& p = s_.parts[i];
    const bool below = i % rows_ == 1;
    const double y = below ? floor_ - kLabelRow + 10.0 : kHead + 14.0;  // of the name
    const double from = below ? y - 13.0 : y + 17.0, edge = below ? down(body(p)) : up(body(p));
    const double middle = x(p.start + p.part.length / 2.0), bend = below ? -4.0 : 4.0;
    const double turn = below ? down(widest_) + 8.0 : up(widest_) - 12.0;
    text("n m", label_x_[i], y, names_[i]);
    text("s m", label_x_[i], y + 13.0, length_words(p, s_.sensor));
    svg_ += fmt::format(
        "<polyline class='thin' points='{0:.1f},{1:.1f} {0:.1f},{2:.1f} {3:.1f},{4:.1f} {3:.1f},{5:.1f}'/>\n",
        label_x_[i], from, from + bend, middle, turn, edge);
  }
}

void Drawing::ruler() {
  const double y = floor_ + 12.0;
  const int end = static_cast<int>(std::floor(s_.sensor.mm() + kBehindSensor.mm()));
  const int small = scale_ > 2.4 ? 1 : scale_ > 1.0 ? 5 : 10, large = scale_ > 2.4 ? 10 : scale_ > 1.0 ? 20 : 50;
  line("tick", x(Length()), y, x(Length::mm(end)), y);
  for (int mm = 0; mm <= end; mm += small) {
    const double at = x(Length::mm(mm));
    line("tick", at, y, at, y + (mm % large == 0 ? 9.0 : mm % (large / 2) == 0 ? 6.0 : 3.5));
    if (mm % large == 0) text("s m", at, y + 20.0, fmt::format("{}", mm));
  }
  text("s e", x(Length()) - 12.0, y + 20.0, "mm behind the port");
}

void Drawing::measures() {
  double y = floor_ + kRulerHeight + 14.0;
  for (const Measure& m : measures_) {
    const double left = x(m.from), right = x(m.to), width = text_width(m.words, kSmallLetter) + 12.0;
    line("thin", left, y - 4.0, right, y - 4.0);
    for (const double end : {left, right}) line("tick", end, y - 9.0, end, y + 1.0);
    if (right - left > width + 20.0) {
      const double middle = (left + right) / 2.0;
      svg_ += fmt::format("<rect x='{:.1f}' y='{:.1f}' width='{:.1f}' height='13' fill='#fff'/>\n",
                          middle - width / 2.0, y - 11.0, width);
      text("s m", middle, y, m.words);
    } else if (left - width > 10.0) {
      text("s e", left - 6.0, y, m.words);
    } else {
      text("s", right + 6.0, y, m.words);
    }
    y += kMeasureRow;
  }
}

std::string Drawing::svg() {
  const double foot = floor_ + kRulerHeight + kMeasureRow * static_cast<double>(measures_.size()) + 16.0;
  svg_ = fmt::format(
      "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {0:.0f} {1:.0f}' width='{0:.0f}' height='{1:.0f}' "
      "role='img' "
      "aria-label='The train to scale'>\n<style>{2}</style>\n<rect width='{0:.0f}' height='{1:.0f}' fill='#fff'/>\n",
      kWidth, foot + 10.0, kStyle);
  head();
  tube();
  beam();
  for (const PlacedPart& p : s_.parts) p.part.kind == PartKind::camera ? camera(p) : walls(p);
  for (const PlacedPart& p : s_.parts) {
    glass(p);
    for (const ThinLens& l : p.part.lenses) lens(p, l);
  }
  foci();
  line("mid", 30.0, axis_, x(s_.sensor) + 14.0, axis_);
  labels();
  ruler();
  measures();
  text("s", 14.0, foot,
       "Lengths, openings and light to scale; walls are only hinted. Dark: a star on the axis. Pale: all light that "
       "reaches the sensor.");
  return svg_ + "</svg>\n";
}

}  // namespace

std::string train_drawing(const TrainAnswer& answer) { return Drawing(answer).svg(); }

}  // namespace halfarc
