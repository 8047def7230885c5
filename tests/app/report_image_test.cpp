#include "halfarc/app/report_image.h"

#include <gtest/gtest.h>

#include <vector>

#include "halfarc/app/where_body.h"
#include "halfarc/frames/image_writers.h"
#include "halfarc/report/observation_json.h"
#include "halfarc/report/observation_page.h"
#include "halfarc/report/observation_text.h"
#include "scratch_folder.h"

namespace halfarc {
namespace {

std::filesystem::path image_in(const ScratchFolder& folder, std::vector<FitsCard> cards) {
  const Plane<float> plane(8, 6);
  const std::vector<ImageLayer> layers = {{"IMAGE", {plane.view()}}};
  EXPECT_TRUE(write_fits_image(folder / "a.fits", layers, cards));
  return folder / "a.fits";
}

const std::vector<FitsCard> kTurned = {{"DATE-AVG", std::string("2026-12-05T03:00:04.995"), ""},
                                       {"TELAPSE", 900.0, ""},
                                       {"NFRAMES", std::int64_t{1020}, ""},
                                       {"NREAD", std::int64_t{1200}, ""},
                                       {"PIXSCALE", 0.1753, ""},
                                       {"APTDIA", 203.0, ""},
                                       {"RESOLVED", 0.74, ""},
                                       {"RESOLERR", 0.05, ""},
                                       {"OBJECT", std::string("Jupiter"), ""},
                                       {"EXPTIME", 0.008, ""},
                                       {"POLEANG", 30.0, ""},
                                       {"MIRRORED", false, ""},
                                       {"DEROTATE", 900.0, ""}};

TEST(ReportImage, JoinsTheHeaderWithTheSky) {
  const ScratchFolder folder;
  ReportRequest request;
  request.image = image_in(folder, kTurned);
  request.place = example_site();
  const auto o = report_image(request);
  ASSERT_TRUE(o) << o.error().line();
  EXPECT_EQ(o->object, "Jupiter");
  EXPECT_EQ(o->frames_taken, 1200U);
  EXPECT_EQ(o->frames_kept, 1020U);
  EXPECT_NEAR(o->exposure->ms(), 8.0, 1e-9);
  EXPECT_NEAR(o->derotated->s(), 900.0, 1e-9);
  EXPECT_NEAR(o->resolution->value.arcsec(), 0.74, 1e-9);
  ASSERT_TRUE(o->disc.has_value());
  EXPECT_EQ(o->disc->meridians.size(), 3U);
  EXPECT_GT(o->disc->diameter.arcsec(), 30.0);
  EXPECT_LT(o->disc->diameter.arcsec(), 51.0);
  ASSERT_TRUE(o->altitude.has_value());
  // A direction of position angle P lies at north - P clockwise from up: so the globe's north at 30 deg.
  ASSERT_TRUE(o->orientation.has_value());
  EXPECT_NEAR(wrap_positive(o->orientation->north - o->disc->pole).deg(), 30.0, 1e-6);
}

TEST(ReportImage, AMirrorTurnsTheSenseOfPositionAngles) {
  const ScratchFolder folder;
  std::vector<FitsCard> cards = kTurned;
  for (FitsCard& card : cards) {
    if (card.keyword == "MIRRORED") card.value = true;
  }
  ReportRequest request;
  request.image = image_in(folder, cards);
  request.place = example_site();
  const auto o = report_image(request);
  ASSERT_TRUE(o) << o.error().line();
  EXPECT_TRUE(o->orientation->mirrored);
  EXPECT_NEAR(wrap_positive(o->orientation->north + o->disc->pole).deg(), 30.0, 1e-6);
}

TEST(ReportImage, WhatIsNotKnownIsLeftOut) {
  const ScratchFolder folder;
  ReportRequest request;
  request.image = image_in(folder, {{"DATE-AVG", std::string("2026-12-05T03:00:04.995"), ""}});
  request.target = sky::Body::mars;
  const auto o = report_image(request);
  ASSERT_TRUE(o) << o.error().line();
  EXPECT_FALSE(o->disc || o->altitude || o->orientation || o->resolution || o->exposure || o->station);
  EXPECT_FALSE(o->aperture || o->arcsec_per_px || o->frames_taken || o->frames_kept);
}

// A header that tells nothing but when and how fine: no form of the report makes up a number for the rest.
TEST(ReportImage, NoFormInventsWhatTheHeaderDoesNotTell) {
  const ScratchFolder folder;
  ReportRequest request;
  request.image = image_in(folder, {{"DATE-AVG", std::string("2026-12-05T03:00:04.995"), ""}, {"RESOLVED", 0.74, ""}});
  request.target = sky::Body::mars;
  request.seeing = Angle::arcsec(1.6);
  const auto o = report_image(request);
  ASSERT_TRUE(o) << o.error().line();
  const std::string svg = picture_with_data(*o, {"png", 8, 6});
  for (const std::string& form : {observation_text(*o), observation_json(*o), caption(*o), svg}) {
    for (const char* invented : {"aperture", "0 mm", "0.0000", "± 0", "sigma", "frames_", "of 0", "inf", "nan"})
      EXPECT_EQ(form.find(invented), std::string::npos) << invented << " in " << form;
  }
  EXPECT_NE(observation_text(*o).find("0.74\", period"), std::string::npos);
  EXPECT_EQ(svg.find("<line"), std::string::npos);  // no scale, no bar
}

TEST(ReportImage, ATargetBelowTheHorizonIsSaid) {
  const ScratchFolder folder;
  ReportRequest request;
  request.image = image_in(folder, {{"DATE-AVG", std::string("2026-11-25T21:04:00.000"), ""}});
  request.target = sky::Body::mars;
  request.place = example_site();
  const auto o = report_image(request);
  ASSERT_TRUE(o) << o.error().line();
  EXPECT_LT(o->altitude->deg(), 0.0);
  EXPECT_NE(observation_text(*o).find("below the horizon"), std::string::npos);
}

// Six degrees from the Sun at noon, as `where` would refuse to point: what was recorded is reported all the same.
TEST(ReportImage, VenusByDayIsReported) {
  const ScratchFolder folder;
  ReportRequest request;
  request.image = image_in(folder, {{"DATE-AVG", std::string("2026-10-24T12:00:00.000"), ""}});
  request.target = sky::Body::venus;
  request.place = example_site();
  WhereRequest where;
  where.body = sky::Body::venus;
  where.site = request.place->site;
  where.utc = *Utc::parse("2026-10-24T12:00:00Z");
  ASSERT_FALSE(where_body(where));
  const auto o = report_image(request);
  ASSERT_TRUE(o) << o.error().line();
  EXPECT_GT(o->altitude->deg(), 0.0);
}

TEST(ReportImage, SaysWhatIsMissing) {
  const ScratchFolder folder;
  ReportRequest request;
  request.image = image_in(folder, {{"OBJECT", std::string("Mars"), ""}});
  EXPECT_NE(report_image(request).error().line().find("DATE-AVG"), std::string::npos);
  request.image = image_in(folder, {{"DATE-AVG", std::string("2026-12-05T03:00:04.995"), ""}});
  EXPECT_NE(report_image(request).error().line().find("--target"), std::string::npos);
  EXPECT_FALSE(report_picture(request.image));
}

}  // namespace
}  // namespace halfarc
