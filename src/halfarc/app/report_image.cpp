#include "halfarc/app/report_image.h"

#include <algorithm>
#include <array>
#include <fstream>
#include <sstream>

#include "halfarc/app/rig.h"
#include "halfarc/app/where_body.h"
#include "halfarc/frames/fits_cards.h"
#include "halfarc/frames/png_picture.h"
#include "halfarc/report/observation_json.h"
#include "halfarc/report/observation_text.h"

namespace halfarc {
namespace {

constexpr double kFarOff = 1.02;  // a scale that differs by more is not the rig's of today

Result<sky::Body> target_of(const ReportRequest& request, const FitsCards& cards) {
  if (request.target) return *request.target;
  const auto named = cards.text("OBJECT");
  if (!named) return bad_input("nobody said what it shows", request.image.string(), "name it: --target mars");
  return sky::parse_body(*named);
}

Result<Utc> middle_of(const FitsCards& cards, const std::filesystem::path& path) {
  const auto said = cards.text("DATE-AVG");
  const auto middle = said ? Utc::parse(*said + "Z") : Result<Utc>(bad_input("no time"));
  if (!middle)
    return bad_input("the header tells no middle time (DATE-AVG)", path.string(), "make it of runs with times");
  return middle;
}

// What cannot be zero or below is not known when it is.
std::optional<double> above_zero(const FitsCards& cards, const std::string& keyword) {
  const auto value = cards.number(keyword);
  return value && *value > 0.0 && *value < 1e15 ? value : std::nullopt;
}

std::vector<CentralMeridian> meridians_of(const sky::Disc& disc) {
  static constexpr std::array<const char*, 3> kNames = {"I", "II", "III"};
  std::vector<CentralMeridian> meridians;
  for (std::size_t i = 0; i < kNames.size(); ++i) {
    if (disc.sub_observer.longitude[i]) meridians.push_back({kNames[i], *disc.sub_observer.longitude[i]});
  }
  if (meridians.size() == 1) meridians.front().system.clear();
  return meridians;
}

DiscGeometry geometry_of(const Whereabouts& w) {
  DiscGeometry g;
  g.meridians = meridians_of(w.disc);
  g.diameter = w.disc.equatorial_diameter;
  g.lit = w.disc.illuminated_fraction;
  g.phase_angle = w.disc.phase_angle;
  g.tilt = w.disc.sub_observer.planetographic_latitude;
  g.pole = w.disc.pole_angle;
  if (w.ring) g.ring_opening = w.ring->tilt;
  if (w.moon) {
    g.colongitude = w.moon->colongitude;
    g.libration_longitude = w.moon->libration_longitude;
    g.libration_latitude = w.moon->libration_latitude;
  }
  return g;
}

// Celestial north from the globe's, which the image was turned by: position angles run through east, against the clock
// on a picture that is not mirrored.
std::optional<Orientation> orientation_of(const FitsCards& cards, const std::optional<DiscGeometry>& disc) {
  const auto globe = cards.number("POLEANG");
  if (!globe || !disc) return std::nullopt;
  const bool mirrored = cards.text("MIRRORED") == "T";
  const Angle pole = mirrored ? -disc->pole : disc->pole;
  return Orientation{wrap_positive(Angle::deg(*globe) + pole), mirrored};
}

void add_rig(Observation& o, const SolvedRig& rig) {
  o.telescope = rig.rig.name;
  if (!o.arcsec_per_px) return;
  const double ratio = plate_scale(rig.rig, rig.train).arcsec_per_px() / *o.arcsec_per_px;
  if (std::max(ratio, 1.0 / ratio) < kFarOff) o.focal_ratio = rig.train.focal_ratio;
}

}  // namespace

Result<Observation> report_image(const ReportRequest& request) {
  HALFARC_TRY(const FitsCards cards, read_fits_cards(request.image));
  HALFARC_TRY(const sky::Body body, target_of(request, cards));
  Observation o;
  o.object = sky::name_of(body);
  HALFARC_TRY(o.middle, middle_of(cards, request.image));
  if (const auto span = cards.number("TELAPSE")) o.span = Duration::s(*span);
  if (const auto mm = above_zero(cards, "APTDIA")) o.aperture = Length::mm(*mm);
  o.arcsec_per_px = above_zero(cards, "PIXSCALE");
  if (const auto frames = above_zero(cards, "NREAD")) o.frames_taken = static_cast<std::size_t>(*frames);
  if (const auto frames = above_zero(cards, "NFRAMES")) o.frames_kept = static_cast<std::size_t>(*frames);
  if (const auto seconds = cards.number("EXPTIME")) o.exposure = Duration::s(*seconds);
  if (const auto span = cards.number("DEROTATE")) o.derotated = Duration::s(*span);
  if (const auto resolved = above_zero(cards, "RESOLVED")) {
    o.resolution = {Angle::arcsec(*resolved), Angle::arcsec(cards.number("RESOLERR").value_or(0.0))};
    o.criterion = "correlation with the truth one half, from two independent halves of the frames";
  }
  o.processing = cards.history;

  o.observer = request.observer;
  o.camera = request.camera;
  o.filter = request.filter;
  o.corrector = request.corrector;
  o.transparency = request.transparency;
  o.comments = request.comments;
  if (request.exposure) o.exposure = request.exposure;
  o.gain_e_per_adu = request.gain_e_per_adu;
  if (request.seeing) o.seeing = StatedSeeing{{*request.seeing, Angle()}, "stated by the observer"};
  if (request.rig) add_rig(o, *request.rig);
  if (request.place) {
    const sky::Site& site = request.place->site;
    o.station = Station{request.place->name, site.latitude, site.longitude, site.height};
    WhereRequest where;
    where.body = body;
    where.site = site;
    where.utc = o.middle;
    where.sun_rule = {Angle(), "a report points nothing anywhere"};
    HALFARC_TRY(const Whereabouts w, where_body(where));
    o.disc = geometry_of(w);
    o.altitude = w.refracted_altitude;
    o.airmass = w.airmass;
  }
  o.orientation = orientation_of(cards, o.disc);
  return o;
}

Result<ReportPicture> report_picture(const std::filesystem::path& image) {
  std::filesystem::path png = image;
  png.replace_extension(".png");
  HALFARC_TRY(const PictureHeader header, read_png_header(png));
  std::ifstream file(png, std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  if (!file) return bad_input("cannot be read", png.string(), "make the image again");
  return ReportPicture{bytes.str(), header.width, header.height};
}

Result<std::string> report_as(const std::string& form, const Observation& observation,
                              const std::filesystem::path& image) {
  if (form == "txt") return observation_text(observation);
  if (form == "json") return observation_json(observation) + "\n";
  if (form != "html" && form != "svg")
    return bad_input("a report has no such form", form, "choose html, svg, txt or json");
  HALFARC_TRY(const ReportPicture picture, report_picture(image));
  return form == "html" ? observation_page(observation, picture) : picture_with_data(observation, picture);
}

}  // namespace halfarc
