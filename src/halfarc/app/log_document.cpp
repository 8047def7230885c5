#include "halfarc/app/log_document.h"

#include <nlohmann/json.hpp>

#include "halfarc/app/keep_log.h"

namespace halfarc {
namespace {

using nlohmann::json;

constexpr const char* kLog = "halfarc.log/1";

// Names of files may hold bytes that are no UTF-8.
std::string dump(const json& j) { return j.dump(1, ' ', false, json::error_handler_t::replace) + "\n"; }

json row_json(const NightRow& n) {
  json j = {{"night", n.id},    {"date", n.date},     {"site", n.site},   {"recordings", n.recordings},
            {"turns", n.turns}, {"images", n.images}, {"notes", n.notes}, {"targets", n.targets}};
  if (n.first) j["first_utc"] = n.first->iso(3);
  if (n.last) j["last_utc"] = n.last->iso(3);
  return j;
}

json reading_json(const KeptReading& kept) {
  json j = {
      {"name", kept.reading.name}, {"value", kept.reading.value}, {"unit", kept.reading.unit}, {"reader", kept.reader}};
  if (kept.reading.sigma) j["sigma"] = *kept.reading.sigma;
  return j;
}

json recording_json(const LoggedRecording& r) {
  json j = {{"id", r.row.id},       {"path", r.row.path},     {"start_utc", r.row.start.iso(3)},
            {"kind", r.row.kind},   {"target", r.row.target}, {"frames", r.row.frames},
            {"width", r.row.width}, {"height", r.row.height}, {"readings", json::array()}};
  if (r.row.end) j["end_utc"] = r.row.end->iso(3);
  for (const KeptReading& reading : r.readings) j["readings"].push_back(reading_json(reading));
  return j;
}

json turn_json(const TurnRow& t) {
  return {{"id", t.id}, {"utc", t.utc.iso(3)}, {"control", t.control}, {"amount", t.amount}, {"unit", t.unit}};
}

json image_json(const ImageRow& i) {
  json j = {{"id", i.id},
            {"utc", i.utc.iso(3)},
            {"path", i.path},
            {"frames_read", i.frames_read},
            {"frames_used", i.frames_used}};
  if (i.resolved_arcsec) j["resolved_arcsec"] = *i.resolved_arcsec;
  if (i.resolved_sigma) j["resolved_sigma"] = *i.resolved_sigma;
  return j;
}

json note_json(const NoteRow& n) {
  json j = {{"id", n.id}, {"utc", n.utc.iso(3)}, {"text", n.text}};
  if (n.wind_m_per_s) j["wind_m_per_s"] = *n.wind_m_per_s;
  return j;
}

template <class Rows, class Json>
json array_of(const Rows& rows, Json one) {
  json all = json::array();
  for (const auto& row : rows) all.push_back(one(row));
  return all;
}

json night_json(const NightLog& log) {
  json j = row_json(log.night);
  j["recordings"] = array_of(log.recordings, recording_json);
  j["turns"] = array_of(log.turns, turn_json);
  j["images"] = array_of(log.images, image_json);
  j["notes"] = array_of(log.notes, note_json);
  return j;
}

json trend_json(const Trend& t) {
  return {{"name", t.name},       {"unit", t.unit},   {"value", t.mean.value}, {"sigma", t.mean.sigma},
          {"scatter", t.scatter}, {"count", t.count}, {"nights", t.nights}};
}

json response_json(const ResponseRow& r) {
  return {{"control", r.control}, {"reading", r.reading}, {"value", r.value},   {"sigma", r.sigma},
          {"unit", r.unit},       {"pairs", r.pairs},     {"utc", r.utc.iso(3)}};
}

}  // namespace

std::string log_list_json(std::span<const NightRow> nights) {
  return dump({{"schema", kLog}, {"nights", array_of(nights, row_json)}});
}

std::string log_night_json(const NightLog& night) { return dump({{"schema", kLog}, {"night", night_json(night)}}); }

std::string log_trends_json(const Trends& trends, std::span<const ResponseRow> responses) {
  json all = json::array();
  for (const auto* one : {&trends.scale, &trends.camera_angle, &trends.knob, &trends.time_constant, &trends.seeing}) {
    if (*one) all.push_back(trend_json(**one));
  }
  const auto add = [&](const std::vector<BinnedTrend>& bins, const char* what) {
    for (const BinnedTrend& bin : bins) {
      json j = trend_json(bin.trend);
      j[what] = {bin.from, bin.to};
      all.push_back(std::move(j));
    }
  };
  add(trends.seeing_by_hour, "solar_hour");
  add(trends.seeing_by_wind, "wind_m_per_s");
  return dump({{"schema", kLog}, {"trends", std::move(all)}, {"responses", array_of(responses, response_json)}});
}

std::string noted_json(const NoteRow& note) { return dump({{"schema", kLog}, {"noted", note_json(note)}}); }

std::string turned_json(const TurnRow& turn) {
  return dump({{"schema", "halfarc.turned/1"}, {"turn", turn_json(turn)}, {"words", turned_words(turn)}});
}

std::string taken_back_json(const TurnRow& turn) {
  return dump({{"schema", "halfarc.turned/1"}, {"taken_back", turn_json(turn)}, {"words", taken_back_words(turn)}});
}

Result<void> export_json(const Database& database, const TextSink& sink) {
  HALFARC_TRY(const auto all, nights(database, {}));
  HALFARC_TRY(const auto responses, responses_of(database, std::nullopt));
  HALFARC_CHECK(sink(std::string("{\"schema\": \"") + kLog +
                     "\",\n\"responses\": " + array_of(responses, response_json).dump() + ",\n\"nights\": ["));
  const char* between = "\n";
  for (const NightRow& row : all) {
    HALFARC_TRY(const NightLog log, night_log(database, row));
    HALFARC_CHECK(sink(between + night_json(log).dump(-1, ' ', false, json::error_handler_t::replace)));
    between = ",\n";
  }
  return sink("\n]}\n");
}

}  // namespace halfarc
