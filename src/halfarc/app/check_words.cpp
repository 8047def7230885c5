#include "halfarc/app/check_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string_view>
#include <utility>

#include "halfarc/app/donut_words.h"
#include "halfarc/app/geometry_words.h"

namespace halfarc {
namespace {

// With as many decimals as the error leaves meaning: its first two digits.
std::string with_error(double value, double sigma) {
  const int decimals = sigma > 0.0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(sigma))), 0, 4) : 2;
  return fmt::format("{:.{}f} ± {:.{}f}", value, decimals, sigma, decimals);
}

std::string kind_words(const ClipCheck& c) {
  switch (c.kind) {
    case ClipKind::planet:
      return "a planet";
    case ClipKind::star:
      return c.hollow ? "a star out of focus" : c.wide ? "a star or a disc far out of focus" : "a star";
    case ClipKind::surface:
      return "a surface";
    case ClipKind::bright:
      return "an over-exposed disc";
    case ClipKind::empty:
      return c.light.shadows ? "evenly lit" : "nothing above the sky";
  }
  return "nothing";
}

std::string title(const ClipCheck& c) {
  const RecordingInfo& r = c.recording;
  std::string text = fmt::format("{}: {}, {} frame{} of {} x {}, {} bit {}", r.path.filename().string(), kind_words(c),
                                 r.frames, r.frames == 1 ? "" : "s", r.width, r.height, r.bits, name(r.mosaic));
  if (c.clock) text += fmt::format(", {:.1f} s", (c.clock->end - c.clock->start).s());
  return text + "\n";
}

void line(std::string& text, std::string_view label, const std::string& words) {
  text += fmt::format("  {:<10} {}\n", label, words);
}

// The place on the image that a vector points to, as a hand of a clock.
std::string clock_hand(PixelOffset d) {
  const double hours = std::atan2(d.x, -d.y) * 6.0 / std::numbers::pi;
  const int hour = (static_cast<int>(std::lround(hours)) + 11) % 12 + 1;
  return fmt::format("towards {} o'clock", hour);
}

std::string length_words(const ClipCheck& c, double px, double sigma) {
  if (c.scale) {
    const double s = c.scale->arcsec_per_px();
    return with_error(px * s, sigma * s) + "\"";
  }
  return with_error(px, sigma) + " px";
}

// A bound, to two digits.
std::string bound_words(const ClipCheck& c, double px) {
  return c.scale ? fmt::format("{:.2g}\"", px * c.scale->arcsec_per_px()) : fmt::format("{:.2g} px", px);
}

void disc_lines(std::string& text, const ClipCheck& c) {
  const DiscFit& d = *c.disc;
  std::string words = with_error(d.equatorial_diameter.value, d.equatorial_diameter.sigma) + " px across";
  if (c.scale) words += ", " + length_words(c, d.equatorial_diameter.value, d.equatorial_diameter.sigma);
  line(text, "disc", words + fmt::format(", at {:.0f}, {:.0f}", d.x.value, d.y.value));
  if (d.flattening.value > 3.0 * d.flattening.sigma) {
    line(text, "",
         fmt::format("flattened by {}, its short axis at {}° from up (clockwise)",
                     with_error(d.flattening.value, d.flattening.sigma),
                     with_error(d.pole_angle.value.deg(), d.pole_angle.sigma.deg())));
  } else {
    line(text, "",
         fmt::format("round, as far as this clip can tell (flattening {})",
                     with_error(d.flattening.value, d.flattening.sigma)));
  }
}

void motion_lines(std::string& text, const ClipCheck& c) {
  const Motion& m = *c.motion;
  const PixelOffset drift{m.drift_x.value, m.drift_y.value};
  const double sigma = std::max(m.drift_x.sigma, m.drift_y.sigma);
  const std::string words =
      drift.length() > 3.0 * sigma
          ? fmt::format("drifts {} a second {}", length_words(c, drift.length(), sigma), clock_hand(drift))
          : fmt::format("no drift that stands out, at most {} a second", bound_words(c, 3.0 * sigma));
  line(text, "motion", words);
  line(text, "",
       fmt::format("wanders {} across and {} up and down (rms)", length_words(c, m.rms_x.value, m.rms_x.sigma),
                   length_words(c, m.rms_y.value, m.rms_y.sigma)));
  if (!m.steps.empty()) {
    line(text, "",
         fmt::format("{} sudden step{}, the first at frame {}", m.steps.size(), m.steps.size() == 1 ? "" : "s",
                     m.steps.front().frame));
  }
}

void colour_lines(std::string& text, const ClipCheck& c) {
  const auto one = [&](std::string_view label, std::string_view colour, PixelOffset d, PixelOffset sigma) {
    const double error = std::max(sigma.x, sigma.y);
    line(text, label,
         d.length() > 3.0 * error
             ? fmt::format("{} lies {} from green, {}", colour, length_words(c, d.length(), error), clock_hand(d))
             : fmt::format("{} lies on green within {}", colour, length_words(c, d.length(), error)));
  };
  one("colours", "red", c.colours->red_minus_green, c.colours->red_sigma);
  one("", "blue", c.colours->blue_minus_green, c.colours->blue_sigma);
}

double most_saturated(const ClipCheck& c) {
  return *std::max_element(c.summary.saturated.begin(), c.summary.saturated.end());
}

void exposure_lines(std::string& text, const ClipCheck& c) {
  std::string words = fmt::format("brightest at {:.0f} % of full scale", 100.0 * c.peak_fraction());
  if (most_saturated(c) > 5e-4) {
    const auto& s = c.summary.saturated;
    words += c.recording.mosaic == Mosaic::mono
                 ? fmt::format("; {:.1f} % of it burnt out", 100.0 * s[1])
                 : fmt::format("; burnt out: red {:.1f} %, green {:.1f} %, blue {:.1f} %", 100.0 * s[0], 100.0 * s[1],
                               100.0 * s[2]);
  } else {
    words += ", nothing burnt out";
  }
  line(text, "exposure", words);
  line(text, "", fmt::format("sky {:.1f} ADU, its noise {:.1f} ADU", c.summary.background, c.summary.noise));
}

std::string fading_words(const Fading& fading) {
  const double share = -std::expm1(fading.per_hour.value / 60.0);
  const double sigma = fading.per_hour.sigma / 60.0 * (1.0 - share);
  return fmt::format(
      "Its light falls by {} % a minute: thin cloud, or dew on the front glass. Look at the sky, then at the glass.",
      with_error(100.0 * share, 100.0 * sigma));
}

std::string clock_words(const ClipCheck& c) {
  if (!c.clock) return "the recording holds no usable times, so rates are unknown";
  const Clock& k = *c.clock;
  std::string words = fmt::format("{:.2f} frames a second", k.frames_per_second.value);
  words += k.dropped == 0 ? ", none missing"
                          : fmt::format(", {} missing in {} gap{} (longest {:.2f} s)", k.dropped, k.gaps,
                                        k.gaps == 1 ? "" : "s", k.longest_gap.s());
  words += fmt::format(", each within {:.2g} ms of an even clock", k.jitter.ms());
  if (c.repeated > 0) words += fmt::format(", {} with the picture of the one before", c.repeated);
  if (k.same_time > 0) words += fmt::format(", {} with the time of the one before", k.same_time);
  if (k.backwards > 0) words += fmt::format(", {} going back in time", k.backwards);
  return words;
}

}  // namespace

// The bounds are common practice.
std::vector<std::string> what_to_do(const ClipCheck& c) {
  std::vector<std::string> out;
  if (c.kind == ClipKind::empty && !c.light.shadows)
    out.push_back(
        "Nothing to measure: check the pointing, then the focus; a planet far out of focus is too faint to see.");
  for (std::string& advice : light_advice(c.light)) out.push_back(std::move(advice));
  if (c.kind == ClipKind::empty) return out;
  if (c.kind == ClipKind::bright)
    out.push_back(
        "Much of the disc is burnt out. Good for seeing the colour fringe at the limb; expose less for everything "
        "else.");
  else if (most_saturated(c) > 5e-4)
    out.push_back("Expose a little less: burnt-out samples hold no detail.");
  else if (c.peak_fraction() < 0.25 && c.kind != ClipKind::star)
    out.push_back(
        "The picture is faint for this camera: a longer exposure or more gain would lift it above the noise.");
  if (c.colours && c.scale) {
    const PixelOffset apart = c.colours->blue_minus_green - c.colours->red_minus_green;
    const double arcsec = apart.length() * c.scale->arcsec_per_px();
    const double sigma = std::hypot(c.colours->sigma(), c.colours->sigma()) * c.scale->arcsec_per_px();
    if (arcsec > 0.2 && arcsec > 3.0 * sigma) {
      out.push_back(fmt::format("Red and blue lie {} apart: trim the dispersion corrector until they meet.",
                                with_error(arcsec, sigma) + "\""));
    }
  }
  if (c.fading && c.fading->alarming()) out.push_back(fading_words(*c.fading));
  if (c.clock && c.clock->dropped * 50 > c.recording.frames)
    out.push_back("More than 2 % of the frames are missing: a smaller region or a faster disk would keep them.");
  if (c.repeated * 50 > c.recording.frames)
    out.push_back(
        fmt::format("{} frames repeat the picture before them: the camera delivers fewer new frames than are written.",
                    c.repeated));
  if (c.kind == ClipKind::star && c.hollow && c.recording.frames < 100)
    out.push_back("A ring is measured better from more frames: record 10 s.");
  if (c.donut) {
    for (std::string& advice : donut_advice(*c.donut)) out.push_back(std::move(advice));
  }
  for (const Advice& advice : c.advice) {
    if (!advice.words.empty()) out.push_back(advice.words);
  }
  return out;
}

std::string check_words(const ClipCheck& c) {
  std::string text = title(c);
  if (c.disc) disc_lines(text, c);
  if (c.motion) motion_lines(text, c);
  if (c.air) {
    std::string_view label = "seeing";
    for (const std::string& words : air_lines(*c.air)) line(text, std::exchange(label, ""), words);
  }
  if (c.donut) {
    std::string_view label = "ring";
    for (const std::string& words : donut_lines(*c.donut)) line(text, std::exchange(label, ""), words);
  }
  if (c.colours) colour_lines(text, c);
  for (const LabelledLine& l : geometry_lines(c.geometry)) line(text, l.label, l.words);
  if (c.kind != ClipKind::empty) exposure_lines(text, c);
  std::string_view camera = "camera";
  for (const std::string& words : light_lines(c.light)) line(text, std::exchange(camera, ""), words);
  if (c.kind != ClipKind::empty && c.summary.sharpness > 0.0) {
    line(text, "sharpness",
         fmt::format("the best frames are {:.2f} times as sharp as the usual one",
                     c.summary.best_sharpness / c.summary.sharpness));
  }
  line(text, "clock", clock_words(c));
  for (const std::string& note : c.notes) line(text, "note", note);
  for (const std::string& advice : what_to_do(c)) line(text, "do", advice);
  return text;
}

}  // namespace halfarc
