#include "halfarc/sky/horizon.h"

#include <algorithm>
#include <cctype>
#include <optional>

#include "halfarc/sky/csv_line.h"

namespace halfarc::sky {
namespace {

constexpr const char* kExample = "write lines like 135.0,22.5,roof,yes: azimuth, altitude, kind, warm";

std::string lower(std::string_view s) {
  std::string out(s);
  for (char& c : out) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return out;
}

std::optional<Obstacle> obstacle(std::string_view s) {
  if (s.empty()) return Obstacle::open;
  for (const Obstacle kind : {Obstacle::open, Obstacle::roof, Obstacle::tree, Obstacle::hill}) {
    if (lower(s) == name_of(kind)) return kind;
  }
  return std::nullopt;
}

std::optional<bool> yes_or_no(std::string_view s) {
  const std::string word = lower(s);
  if (word.empty() || word == "no" || word == "n" || word == "false" || word == "0") return false;
  if (word == "yes" || word == "y" || word == "true" || word == "1" || word == "warm") return true;
  return std::nullopt;
}

Result<HorizonPoint> point_of(std::string_view line, const std::string& where) {
  const auto cells = cells_of(line);
  if (cells.size() < 2 || cells.size() > 4) {
    return bad_input("a horizon line has 2 to 4 values, this one has " + std::to_string(cells.size()), where, kExample);
  }
  const auto azimuth = number_in(cells[0]), altitude = number_in(cells[1]);
  if (!azimuth || !(*azimuth >= 0.0 && *azimuth <= 360.0)) {
    return bad_input("\"" + std::string(cells[0]) + "\" is no azimuth from 0 to 360 degrees", where, kExample);
  }
  if (!altitude || !(*altitude >= -10.0 && *altitude <= 90.0)) {
    return bad_input("\"" + std::string(cells[1]) + "\" is no altitude from -10 to 90 degrees", where, kExample);
  }
  const auto kind = obstacle(cells.size() > 2 ? cells[2] : "");
  if (!kind) {
    return bad_input("\"" + std::string(cells[2]) + "\" is no kind of obstacle", where,
                     "write open, roof, tree or hill");
  }
  const auto warm = yes_or_no(cells.size() > 3 ? cells[3] : "");
  if (!warm) return bad_input("\"" + std::string(cells[3]) + "\" is neither yes nor no", where, kExample);
  return HorizonPoint{wrap_positive(Angle::deg(*azimuth)), Angle::deg(*altitude), *kind, *warm};
}

}  // namespace

std::string_view name_of(Obstacle kind) {
  constexpr std::string_view names[] = {"open", "roof", "tree", "hill"};
  return names[static_cast<std::size_t>(kind)];
}

Result<Horizon> Horizon::from_points(std::vector<HorizonPoint> points) {
  for (auto& p : points) {
    if (!is_finite(p.azimuth) || !(p.altitude >= Angle::deg(-10.0) && p.altitude <= Angle::deg(90.0))) {
      return bad_input("a horizon point lies outside -10 to 90 degrees of altitude", {}, kExample);
    }
    p.azimuth = wrap_positive(p.azimuth);
  }
  std::sort(points.begin(), points.end(), [](const auto& a, const auto& b) { return a.azimuth < b.azimuth; });
  for (std::size_t i = 1; i < points.size(); ++i) {
    if (points[i].azimuth == points[i - 1].azimuth) {
      return bad_input("two horizon points at azimuth " + std::to_string(points[i].azimuth.deg()), {},
                       "for an upright edge write the two points a tenth of a degree apart");
    }
  }
  Horizon h;
  h.points_ = std::move(points);
  return h;
}

Result<Horizon> Horizon::parse(std::string_view text, const std::string& where) {
  std::vector<HorizonPoint> points;
  bool first = true;
  for (const auto& [line, number] : lines_of(text)) {
    const bool names = first && std::isalpha(static_cast<unsigned char>(line.front())) != 0;
    first = false;
    if (names) continue;
    HALFARC_TRY(const HorizonPoint point, point_of(line, where + ", line " + std::to_string(number)));
    points.push_back(point);
  }
  auto horizon = from_points(std::move(points));
  if (!horizon) horizon.error().where = where;
  return horizon;
}

HorizonPoint Horizon::at(Angle azimuth) const {
  const Angle a = wrap_positive(azimuth);
  if (points_.empty()) return {a, Angle::deg(0.0), Obstacle::open, false};
  const auto next = std::upper_bound(points_.begin(), points_.end(), a,
                                     [](Angle wanted, const HorizonPoint& p) { return wanted < p.azimuth; });
  const HorizonPoint& right = next == points_.end() ? points_.front() : *next;
  const HorizonPoint& left = next == points_.begin() ? points_.back() : *(next - 1);
  const double width = wrap_positive(right.azimuth - left.azimuth).rad();
  const double f = width > 0.0 ? wrap_positive(a - left.azimuth).rad() / width : 0.0;
  const HorizonPoint& higher = left.altitude >= right.altitude ? left : right;
  return {a, left.altitude + f * (right.altitude - left.altitude), higher.kind, higher.warm};
}

}  // namespace halfarc::sky
