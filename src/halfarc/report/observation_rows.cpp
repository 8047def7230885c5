#include "halfarc/report/observation_rows.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <string_view>
#include <utility>

#include "halfarc/report/seeing_scale.h"

namespace halfarc {
namespace {

constexpr std::array<std::string_view, 12> kMonths{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                                   "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

class Section {
 public:
  explicit Section(std::string title) { section_.title = std::move(title); }

  // A row, unless there is nothing to say.
  void row(std::string label, std::string value) {
    if (!value.empty()) section_.rows.push_back({std::move(label), std::move(value)});
  }
  void into(std::vector<ReportSection>& sections) && {
    if (!section_.rows.empty()) sections.push_back(std::move(section_));
  }

 private:
  ReportSection section_;
};

std::string degrees(Angle angle) { return fmt::format("{:.1f}°", angle.deg()); }
std::string signed_degrees(Angle angle) { return fmt::format("{:+.1f}°", angle.deg()); }

// 95 s, 2.5 min.
std::string span_words(Duration span) {
  return span.s() < 120.0 ? fmt::format("{:.0f} s", span.s()) : fmt::format("{:.1f} min", span.s() / 60.0);
}

std::string place_words(const Station& station) {
  const std::string place = fmt::format("{:.2f}° {}, {:.2f}° {}, {:.0f} m", std::abs(station.latitude.deg()),
                                        station.latitude.deg() < 0.0 ? "S" : "N", std::abs(station.longitude.deg()),
                                        station.longitude.deg() < 0.0 ? "W" : "E", station.height.m());
  return station.name.empty() ? place : station.name + ", " + place;
}

// With the error where there is one.
std::string with_error(const Measured<Angle>& angle) {
  if (!(angle.sigma.rad() > 0.0)) return fmt::format("{:.2f}\"", angle.value.arcsec());
  return fmt::format("{:.2f} ± {:.2f}\"", angle.value.arcsec(), angle.sigma.arcsec());
}

std::string seeing_words(const StatedSeeing& seeing) {
  const bool measured = seeing.width.sigma.rad() > 0.0;
  return fmt::format("{}{} ({}); about {} on the scale of Antoniadi", with_error(seeing.width),
                     measured ? " at the zenith, 500 nm" : "", seeing.how, antoniadi(seeing.width.value));
}

std::string orientation_words(const Orientation& orientation) {
  return fmt::format("celestial north {:.0f}° clockwise from up; {}", wrap_positive(orientation.north).deg(),
                     orientation.mirrored ? "mirrored (east clockwise from north)" : "not mirrored");
}

void add_observation(const Observation& o, std::vector<ReportSection>& sections) {
  Section section("Observation");
  section.row("Object", o.object);
  section.row("Middle", report_time(o.middle));
  if (o.span) section.row("Span", span_words(*o.span));
  section.row("Observer", o.observer);
  if (o.station) section.row("Place", place_words(*o.station));
  std::move(section).into(sections);
}

void add_disc(const Observation& o, std::vector<ReportSection>& sections) {
  Section section("The disc at the middle");
  if (o.disc) {
    const DiscGeometry& d = *o.disc;
    section.row("Central meridian", meridian_words(d.meridians));
    section.row("Diameter", fmt::format("{:.2f}\"", d.diameter.arcsec()));
    section.row("Lit", fmt::format("{:.3f} (phase angle {})", d.lit, degrees(d.phase_angle)));
    section.row("Latitude of the middle", signed_degrees(d.tilt));
    section.row("Pole, position angle", degrees(d.pole));
    if (d.ring_opening) section.row("Ring opening", signed_degrees(*d.ring_opening));
    if (d.colongitude) section.row("Sun's colongitude", degrees(*d.colongitude));
    if (d.libration_longitude && d.libration_latitude) {
      section.row("Libration", fmt::format("{} in longitude, {} in latitude", signed_degrees(*d.libration_longitude),
                                           signed_degrees(*d.libration_latitude)));
    }
  }
  if (o.altitude) {
    const bool down = *o.altitude < Angle();
    section.row("Altitude", degrees(*o.altitude) + (down ? " (below the horizon: target, place or clock is wrong)"
                                                    : o.airmass ? fmt::format(" (airmass {:.2f})", *o.airmass)
                                                                : std::string()));
  }
  if (o.seeing) section.row("Seeing", seeing_words(*o.seeing));
  section.row("Transparency", o.transparency);
  std::move(section).into(sections);
}

void add_equipment(const Observation& o, std::vector<ReportSection>& sections) {
  Section section("Equipment");
  section.row("Telescope", o.telescope);
  if (o.aperture) section.row("Aperture", fmt::format("{:.0f} mm", o.aperture->mm()));
  if (o.focal_ratio) section.row("Focal ratio", fmt::format("f/{:.1f}, effective", *o.focal_ratio));
  if (o.arcsec_per_px) section.row("Scale", fmt::format("{:.4f}\"/pixel", *o.arcsec_per_px));
  section.row("Camera", o.camera);
  section.row("Filter", o.filter);
  section.row("Dispersion corrector", o.corrector);
  std::move(section).into(sections);
}

void add_recording(const Observation& o, std::vector<ReportSection>& sections) {
  Section section("Recording");
  if (o.exposure) section.row("Exposure", fmt::format("{:.3g} ms", o.exposure->ms()));
  if (o.gain_e_per_adu) section.row("Gain", fmt::format("{:.3g} electrons/ADU", *o.gain_e_per_adu));
  if (o.frames_per_s) section.row("Frames", fmt::format("{:.1f} a second", *o.frames_per_s));
  if (o.frames_taken && o.frames_kept)
    section.row("Frames used", fmt::format("{} of {}", *o.frames_kept, *o.frames_taken));
  std::move(section).into(sections);
}

void add_image(const Observation& o, std::vector<ReportSection>& sections) {
  Section section("Image");
  if (o.orientation) section.row("Orientation", orientation_words(*o.orientation));
  if (o.resolution) section.row("Resolution", fmt::format("{}, period ({})", with_error(*o.resolution), o.criterion));
  if (o.derotated) section.row("Derotated", span_words(*o.derotated) + " turned back to the middle");
  for (std::size_t i = 0; i < o.processing.size(); ++i) {
    section.row(i == 0 ? "Processing" : "", fmt::format("{}. {}", i + 1, o.processing[i]));
  }
  section.row("Comments", o.comments);
  std::move(section).into(sections);
}

}  // namespace

std::string report_time(Utc utc) {
  const Utc::Civil c = utc.civil();
  const double minute = c.minute + (c.second + 1e-9 * static_cast<double>(c.nanosecond)) / 60.0;
  // Truncated, as a clock shows it, so that 59.97 does not become minute 60.
  return fmt::format("{} {} {:02d} {:02d}:{:04.1f} UT", c.year, kMonths[static_cast<std::size_t>(c.month - 1)], c.day,
                     c.hour, std::floor(minute * 10.0) / 10.0);
}

std::string meridian_words(const std::vector<CentralMeridian>& meridians) {
  std::string words;
  for (const CentralMeridian& m : meridians) {
    if (!words.empty()) words += ", ";
    words += (m.system.empty() ? std::string() : m.system + " ") + degrees(m.longitude);
  }
  return words;
}

std::vector<ReportSection> sections_of(const Observation& observation) {
  std::vector<ReportSection> sections;
  add_observation(observation, sections);
  add_disc(observation, sections);
  add_equipment(observation, sections);
  add_recording(observation, sections);
  add_image(observation, sections);
  return sections;
}

}  // namespace halfarc
