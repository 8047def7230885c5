#include "halfarc/app/make_document.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cmath>

namespace halfarc {
namespace {

using nlohmann::json;

constexpr std::string_view kPlanes[] = {"red", "green", "blue"};

std::string with_error(const Measured<Angle>& r) {
  return fmt::format("{:.2f} ± {:.2f}\"", r.value.arcsec(), r.sigma.arcsec());
}

std::string line(std::string_view what, std::string_view text) { return fmt::format("  {:<10} {}\n", what, text); }

std::string words_of(const RunFlashes& run) {
  std::string text;
  for (const FoundFlash& f : run.found) {
    const std::string when = f.at ? f.at->iso(2) : fmt::format("frame {}", f.flash.first);
    text += line("flash", fmt::format("{} at ({:.0f}, {:.0f}), frames {} to {}, {:.1f} ± {:.1f} ADU, {}", when,
                                      f.flash.place.x, f.flash.place.y, f.flash.first, f.flash.last,
                                      f.flash.excess.value, f.flash.excess.sigma, f.strip.string()));
  }
  if (run.found.empty()) {
    text += line("flash", fmt::format("none in {} frames of {} (nothing above {:.1f} sigma)", run.search.frames_looked,
                                      run.run.filename().string(), run.search.least));
  }
  return text;
}

json flashes_of(const RunFlashes& run) {
  json found = json::array();
  for (const FoundFlash& f : run.found) {
    json flash = {{"first_frame", f.flash.first},
                  {"last_frame", f.flash.last},
                  {"x_px", f.flash.place.x},
                  {"y_px", f.flash.place.y},
                  {"excess_adu", f.flash.excess.value},
                  {"sigma_adu", f.flash.excess.sigma},
                  {"significance", f.flash.significance},
                  {"strip", f.strip.string()}};
    if (f.at) flash["utc"] = f.at->iso(3);
    found.push_back(std::move(flash));
  }
  return {{"run", run.run.string()},
          {"frames_looked", run.search.frames_looked},
          {"frames_together", run.search.frames_together},
          {"least_significance", run.search.least},
          {"deepest_dip", run.search.deepest_dip},
          {"found", std::move(found)}};
}

json resolution_of(const MadeImage& made, std::size_t c) {
  json curve = json::array();
  const RingCorrelation& rings = made.agreement[c];
  for (std::size_t r = 0; r < rings.frequency.size(); ++r) {
    curve.push_back({rings.frequency[r], rings.correlation[r], rings.threshold[r]});
  }
  return {{"arcsec", made.resolved[c].value.arcsec()},
          {"sigma", made.resolved[c].sigma.arcsec()},
          {"criterion",
           "correlation of the image with the truth, sqrt(2 FRC / (1 + FRC)) from two independent halves, is 1/2 "
           "(FRC 1/7)"},
          {"curve", std::move(curve)}};
}

json restoration_of(const MadeImage& made, std::size_t c) {
  const bool wiener = made.method[c] == RestoreMethod::wiener;
  json r = {{"method", wiener ? "Wiener" : "Richardson-Lucy"},
            {"strength", made.strength},
            {"stopped_by", wiener ? "signal-to-noise of two independent halves, frequency by frequency"
                                  : "prediction of the other half (cross-validation)"}};
  if (!wiener) r["iterations"] = made.iterations[c];
  return r;
}

}  // namespace

std::string make_words(const MadeImage& made) {
  const double share =
      100.0 * static_cast<double>(made.frames_used) / static_cast<double>(std::max<std::size_t>(1, made.frames_read));
  std::string text = fmt::format("image of {} of {} frames ({:.0f} %)", made.frames_used, made.frames_read, share);
  if (made.reference) text += fmt::format(", middle {}", made.reference->iso(0));
  text += made.enough_frames() ? "\n" : ": too few to prove detail\n";
  std::string resolved = with_error(made.resolved[1]);
  if (!made.mono) {
    resolved +=
        fmt::format(" in green, {} in red, {} in blue", with_error(made.resolved[0]), with_error(made.resolved[2]));
  }
  text += line("resolved", resolved + ": finer detail is more noise than truth");
  text += line("trust",
               fmt::format("{:.0f} % of the scene shows its finest detail in both halves", 100.0 * made.trusted_share));
  text += line("noise", fmt::format("{:.2f} % of the scene's brightness", 100.0 * made.noise[1]));
  if (made.derotated) {
    const StackedRuns::Derotated& d = *made.derotated;
    text +=
        line("turned", fmt::format("{} to {}, {} slices; north {:.1f}° clockwise from up ({})", name_of(*made.target),
                                   d.at.iso(0), d.slices, d.north.deg(), name_of(d.north_source)));
  }
  text += line("air", fmt::format("D/r0 {:.1f} ± {:.1f} in the frames used", made.blur.d_over_r0.value,
                                  made.blur.d_over_r0.sigma));
  if (made.local.undone > 0.0) {
    const PlateScale scale = made.aperture.scale;
    text += line("", fmt::format("parts moved against each other: {:.2f}\" rms undone, {:.2f}\" left",
                                 scale.angle(made.local.undone).arcsec(), scale.angle(made.local.left).arcsec()));
  }
  for (const RunFlashes& run : made.flashes) text += words_of(run);
  for (const std::filesystem::path& p : made.outputs) text += line("file", p.string());
  for (const std::string& w : made.warnings) text += line("note", w);
  text += line("time", fmt::format("{:.1f} s", made.seconds.total));
  return text;
}

std::string make_json(const MadeImage& made) {
  json doc;
  doc["schema"] = "halfarc.image/1";
  doc["runs"] = json::array();
  for (const RecordingInfo& run : made.runs) {
    doc["runs"].push_back({{"path", run.path.string()}, {"container", run.container}, {"frames", run.frames}});
  }
  doc["frames_read"] = made.frames_read;
  doc["frames_used"] = made.frames_used;
  doc["kept_fraction"] =
      static_cast<double>(made.frames_used) / static_cast<double>(std::max<std::size_t>(1, made.frames_read));
  if (made.reference) {
    doc["reference_utc"] = made.reference->iso(3);
    doc["span_s"] = made.span->s();
  }
  if (made.derotated) {
    const StackedRuns::Derotated& d = *made.derotated;
    doc["derotation"] = {{"target", name_of(*made.target)},         {"utc", d.at.iso(3)}, {"north_deg", d.north.deg()},
                         {"north_source", name_of(d.north_source)}, {"slices", d.slices}, {"unseen_share", d.unseen}};
  }
  doc["scale"] = {{"arcsec_per_px", made.aperture.scale.arcsec_per_px()}, {"source", name_of(made.scale_source)}};
  json selection = json::array();
  for (std::size_t i = 0; i < made.selection.tried.size(); ++i) {
    selection.push_back({made.selection.tried[i], made.selection.bits[i]});
  }
  if (!selection.empty())
    doc["selection"] = {{"criterion", "information in the mean, bits"}, {"curve", std::move(selection)}};
  const std::size_t green = 1;
  doc["resolution"] = resolution_of(made, green);
  doc["restoration"] = restoration_of(made, green);
  doc["noise"] = made.noise[green];
  doc["trusted_share"] = made.trusted_share;
  doc["enough_frames"] = made.enough_frames();
  doc["air"] = {{"d_over_r0", made.blur.d_over_r0.value},
                {"sigma", made.blur.d_over_r0.sigma},
                {"local_shift_px", made.blur.local_shift.value},
                {"local_undone_px", made.local.undone},
                {"wavelength_nm", made.blur.wavelength.nm()},
                {"measured", made.blur.measured}};
  doc["planes"] = json::array();
  for (std::size_t c = 0; c < 3; ++c) {
    if (made.mono && c != green) continue;
    json plane = {{"name", made.mono ? "mono" : kPlanes[c]},
                  {"resolution", resolution_of(made, c)},
                  {"restoration", restoration_of(made, c)},
                  {"noise", made.noise[c]},
                  {"stack_noise", made.stack_noise[c]}};
    if (c != green) {
      const ColourOffset& o = made.colour_offset[c];
      plane["offset_px"] = {o.offset.x, o.offset.y};
      plane["offset_sigma_px"] = {o.sigma.x, o.sigma.y};
    }
    doc["planes"].push_back(std::move(plane));
  }
  for (const RunFlashes& run : made.flashes) doc["flashes"].push_back(flashes_of(run));
  doc["outputs"] = json::array();
  for (const std::filesystem::path& p : made.outputs) doc["outputs"].push_back(p.string());
  const MakeSeconds& s = made.seconds;
  doc["seconds"] = {{"read", s.read_and_grade}, {"grade", s.select},    {"register", s.align}, {"stack", s.stack},
                    {"derotate", s.derotate},   {"restore", s.restore}, {"write", s.write},    {"total", s.total}};
  doc["warnings"] = made.warnings;
  return doc.dump(1) + "\n";
}

}  // namespace halfarc
