#include "halfarc/report/observation_text.h"

#include <fmt/format.h>

#include <algorithm>

#include "halfarc/report/observation_rows.h"

namespace halfarc {
namespace {

// Telescope, frames and air as far as they are known, one sentence with a space before it.
std::string with_what(const Observation& o) {
  std::string sentence;
  const auto add = [&](const std::string& part) { sentence += (sentence.empty() ? " " : ", ") + part; };
  if (o.aperture) {
    add(fmt::format("{:.0f} mm aperture{}", o.aperture->mm(),
                    o.focal_ratio ? fmt::format(" at f/{:.0f}", *o.focal_ratio) : std::string()));
  }
  if (o.frames_taken && o.frames_kept) add(fmt::format("{} of {} frames", *o.frames_kept, *o.frames_taken));
  if (o.altitude) add(fmt::format("altitude {:.0f}°", o.altitude->deg()));
  if (o.seeing) add(fmt::format("seeing {:.1f}\"", o.seeing->width.value.arcsec()));
  return sentence.empty() ? sentence : sentence + ".";
}

}  // namespace

std::string observation_text(const Observation& observation) {
  std::string text;
  for (const ReportSection& section : sections_of(observation)) {
    if (!text.empty()) text += "\n";
    text += section.title + "\n";
    std::size_t widest = 0;
    for (const ReportRow& row : section.rows) widest = std::max(widest, row.label.size());
    for (const ReportRow& row : section.rows) text += fmt::format("  {:<{}}  {}\n", row.label, widest, row.value);
  }
  return text;
}

std::string caption(const Observation& o) {
  std::string text = fmt::format("{}, {}", o.object, report_time(o.middle));
  if (o.disc && !o.disc->meridians.empty()) text += "; central meridian " + meridian_words(o.disc->meridians);
  if (o.disc && o.disc->colongitude) text += fmt::format("; Sun's colongitude {:.1f}°", o.disc->colongitude->deg());
  text += "." + with_what(o);
  if (o.resolution) {
    text += fmt::format(" Detail is proven down to {:.2f}\" ({}).", o.resolution->value.arcsec(), o.criterion);
  }
  if (o.orientation) {
    text += fmt::format(" Celestial north {:.0f}° clockwise from up{}.", wrap_positive(o.orientation->north).deg(),
                        o.orientation->mirrored ? ", mirrored" : "");
  }
  if (o.derotated) text += fmt::format(" {:.1f} min derotated to the middle.", o.derotated->s() / 60.0);
  if (!o.observer.empty()) text += " " + o.observer + ".";
  return text;
}

}  // namespace halfarc
