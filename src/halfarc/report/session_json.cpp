#include "halfarc/report/session_json.h"

#include <nlohmann/json.hpp>

#include <cmath>

namespace halfarc {
namespace {

using nlohmann::json;

double rounded(double value, double steps) { return std::round(value * steps) / steps + 0.0; }

json share_json(const Measured<double>& share) {
  return {{"value", rounded(share.value, 1e4)}, {"sigma", rounded(share.sigma, 1e4)}};
}

json width_json(const Measured<Angle>& width) {
  return {
      {"value", rounded(width.value.arcsec(), 1e3)}, {"sigma", rounded(width.sigma.arcsec(), 1e3)}, {"unit", "arcsec"}};
}

json image_json(const SessionImage& image) {
  json j = {{"name", image.name},
            {"utc", image.utc.iso(3)},
            {"frames_used", image.frames_used},
            {"frames_read", image.frames_read}};
  if (!image.object.empty()) j["object"] = image.object;
  if (image.resolved) j["resolved"] = width_json(*image.resolved);
  return j;
}

json cause_json(const SessionCause& cause) {
  json j = {{"cause", cause.cause}, {"because", cause.because}};
  if (!cause.remedy.empty()) j["remedy"] = cause.remedy;
  if (cause.predicted) j["predicted"] = share_json(*cause.predicted);
  if (cause.measured) j["measured"] = share_json(*cause.measured);
  if (cause.gain) j["gain"] = rounded(*cause.gain, 1e4);
  return j;
}

json budget_json(const SessionBudget& budget) {
  json j = {{"target", budget.target},
            {"utc", budget.utc.iso(3)},
            {"altitude_deg", rounded(budget.altitude.deg(), 1e2)},
            {"causes", json::array()},
            {"predicted", share_json(budget.predicted)},
            {"measured", share_json(budget.measured)},
            {"notes", budget.notes}};
  for (const SessionCause& cause : budget.causes) j["causes"].push_back(cause_json(cause));
  return j;
}

json next_json(const NextTime& next) {
  return {{"cause", next.cause}, {"remedy", next.remedy},    {"target", next.target}, {"gain", rounded(next.gain, 1e4)},
          {"sure", next.sure},   {"measured", next.measured}};
}

}  // namespace

std::string session_json(const Session& session) {
  json j = {{"schema", "halfarc.session/1"}, {"date", session.date},    {"recordings", session.recordings},
            {"turns", session.turns},        {"notes", session.notes},  {"remarks", session.remarks},
            {"next", json::array()},         {"images", json::array()}, {"budgets", json::array()},
            {"seeing", json::array()},       {"lines", json::array()}};
  if (!session.place.empty()) j["place"] = session.place;
  if (!session.telescope.empty()) j["telescope"] = session.telescope;
  for (const NextTime& next : session.next) j["next"].push_back(next_json(next));
  for (const SessionImage& image : session.images) j["images"].push_back(image_json(image));
  for (const SessionBudget& budget : session.budgets) j["budgets"].push_back(budget_json(budget));
  for (const SessionSeeing& s : session.seeing)
    j["seeing"].push_back({{"utc", s.utc.iso(3)}, {"width", width_json(s.width)}});
  for (const SessionLine& line : session.lines) j["lines"].push_back({{"utc", line.utc.iso(3)}, {"words", line.words}});
  // Names of files and notes may hold bytes that are no UTF-8.
  return j.dump(1, ' ', false, json::error_handler_t::replace);
}

}  // namespace halfarc
