#include "halfarc/app/clip_light.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "halfarc/base/file_status.h"

namespace halfarc {
namespace {

constexpr double kSpeckles = 0.1;  // of the gain
constexpr double kFaint = 0.01;    // of the light: what a shadow may take and still be worth a word (common practice)

std::string with_error(double value, double sigma) {
  const int decimals = sigma > 0.0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(sigma))), 0, 4) : 2;
  return fmt::format("{:.{}f} ± {:.{}f}", value, decimals, sigma, decimals);
}

// When a file was last written; nothing for a folder, whose pictures may be of any moment.
std::optional<Utc> written(const std::filesystem::path& path) {
  const auto status = file_status(path);
  return status && status->kind == FileKind::file ? std::optional(status->written) : std::nullopt;
}

std::string span_words(Duration span) {
  if (span > Duration::hours(48.0)) return fmt::format("{:.0f} days", span.hours() / 24.0);
  if (span > Duration::hours(2.0)) return fmt::format("{:.0f} hours", span.hours());
  return fmt::format("{:.0f} minutes", span.s() / 60.0);
}

std::string shadow_words(const Shadows& shadows) {
  if (shadows.found.empty()) return fmt::format("no shadow of dust deeper than {:.1f} %", 100.0 * shadows.plain_loss);
  const Shadow& s = shadows.found[0];
  const std::size_t n = shadows.found.size();
  return fmt::format("{} of dust; {} {} % of the light, {} pixels wide, at {:.0f}, {:.0f}",
                     n == 1 ? "a shadow" : fmt::format("{} shadows", n), n == 1 ? "it takes" : "the darkest takes",
                     with_error(100.0 * s.loss.value, 100.0 * s.loss.sigma),
                     with_error(s.diameter.value, s.diameter.sigma), s.place.x, s.place.y);
}

std::string clock_hand(Angle towards) {
  const int hour = (static_cast<int>(std::lround(towards.deg() / 30.0)) + 11) % 12 + 1;
  return fmt::format("{} o'clock", hour);
}

}  // namespace

Result<ClipLight> read_light(const Recording& recording, bool no_object, const std::optional<Clock>& clock,
                             Threads threads) {
  ClipLight light;
  HALFARC_TRY(light.steps, histogram(recording));
  const auto not_told = [](const Error& error) { return error.kind == ErrorKind::bad_input; };
  const auto camera = photon_transfer(recording, threads);
  if (camera) light.camera = *camera;
  if (!camera && !not_told(camera.error())) return camera.error();
  if (!camera) light.why_no_camera = camera.error().what;
  if (no_object) {
    const auto sky = background_gradient(recording);
    if (sky) light.sky = *sky;
    if (!sky && !not_told(sky.error())) return sky.error();
    auto shadows = shadows_on(recording);
    if (!shadows && !not_told(shadows.error())) return shadows.error();
    if (shadows) light.shadows = std::move(*shadows);
  }
  const auto moment = written(recording.info().path);
  if (clock && moment) light.times = doubt_of_times(clock->end, *moment);
  return light;
}

void forget_sky(ClipLight& light) {
  light.sky.reset();
  light.shadows.reset();
}

void mind_speckles(ClipLight& light) {
  if (!light.camera) return;
  Measured<double>& gain = light.camera->electrons_per_adu;
  gain.sigma = std::hypot(gain.sigma, kSpeckles * gain.value);
}

std::vector<std::string> light_lines(const ClipLight& light) {
  std::vector<std::string> out;
  if (light.camera) {
    const PhotonTransfer& c = *light.camera;
    std::string words = with_error(c.electrons_per_adu.value, c.electrons_per_adu.sigma) + " electrons per ADU";
    if (c.read_noise_known)
      words += ", read noise " + with_error(c.read_noise_e.value, c.read_noise_e.sigma) + " electrons";
    out.push_back(words);
  }
  if (light.sky && light.sky->towards)
    out.push_back(fmt::format("the sky brightens towards {} (± {:.0f}°) by {} ADU across the frame",
                              clock_hand(light.sky->towards->value), light.sky->towards->sigma.deg(),
                              with_error(light.sky->across.value, light.sky->across.sigma)));
  else if (light.sky)
    out.push_back("the sky is even: nothing tells on which side something bright lies");
  if (light.shadows) out.push_back(shadow_words(*light.shadows));
  return out;
}

std::vector<std::string> light_advice(const ClipLight& light) {
  std::vector<std::string> out;
  if (light.sky && light.sky->towards)
    out.push_back(fmt::format("Something bright may lie outside the frame, towards {}: move the telescope that way.",
                              clock_hand(light.sky->towards->value)));
  if (light.shadows && !light.shadows->found.empty() && light.shadows->found[0].loss.value > kFaint)
    out.push_back(
        "Dust lies on the glass before the sensor. Keep the target off its shadows tonight; by daylight blow it off "
        "with "
        "a hand bulb, and do not rub.");
  if (light.steps.stretched())
    out.push_back(
        "Steps of brightness are missing between others: the recording was stretched. Record unscaled samples.");
  if (light.steps.squeezed())
    out.push_back(
        "Steps of brightness were merged: the recording was squeezed. Record unscaled samples, or more bits.");
  if (light.times && light.times->whole_hours != 0)
    out.push_back(
        fmt::format("The times stand {} hour{} {} the file's own: is the computer's time zone right, and are "
                    "they universal time?",
                    std::abs(light.times->whole_hours), std::abs(light.times->whole_hours) == 1 ? "" : "s",
                    light.times->whole_hours > 0 ? "ahead of" : "behind"));
  else if (light.times)
    out.push_back(fmt::format("The clip ends {} after its file was written: check the computer's clock.",
                              span_words(light.times->ahead)));
  return out;
}

}  // namespace halfarc
