// An invented night with everything in it, for the tests of the session's forms.
#pragma once

#include "halfarc/report/session.h"

namespace halfarc::testing {

inline Session harbour_night() {
  const Utc evening = Utc::parse("2026-11-25T21:40:30Z").value();
  Session s;
  s.date = "2026-11-25";
  s.place = "Kelderhaven <pier>";
  s.telescope = "203 mm f/10";
  s.recordings = 2;
  s.turns = 1;
  s.lines = {{evening, "ring.ser: star"}, {evening + Duration::minutes(3.0), "note: <mist>"}};
  s.seeing = {{evening, {Angle::arcsec(1.4), Angle::arcsec(0.1)}},
              {evening + Duration::hours(2.5), {Angle::arcsec(2.3), Angle::arcsec(0.2)}}};
  SessionImage image;
  image.name = "mars.fits";
  image.object = "Mars";
  image.utc = evening + Duration::hours(1.0);
  image.frames_used = 300;
  image.frames_read = 1000;
  image.resolved = Measured<Angle>{Angle::arcsec(0.62), Angle::arcsec(0.03)};
  image.picture = {"not really a png", 10, 10};
  s.images = {image};
  SessionBudget budget;
  budget.target = "Mars";
  budget.utc = image.utc;
  budget.altitude = Angle::deg(41.0);
  budget.causes = {{"moving air", Measured<double>{0.5, 0.2}, Measured<double>{0.4, 0.03}, 1.5, "D/r0 2.7", "wait"},
                   {"tube heat", Measured<double>{0.8, 0.3}, std::nullopt, 0.25, "0.5 K", "let it cool"},
                   {"collimation", Measured<double>{0.99, 0.04}, std::nullopt, 0.01, "0.15 waves", "turn the screws"},
                   {"diffraction", Measured<double>{0.3, 0.0}, std::nullopt, 2.0, "203 mm", ""},
                   {"colours apart", Measured<double>{0.9, 0.0}, std::nullopt, std::nullopt, "undone", "levers"}};
  budget.predicted = {0.1, 0.05};
  budget.measured = {0.07, 0.02};
  s.budgets = {budget};
  s.next = next_time(s.budgets);
  return s;
}

}  // namespace halfarc::testing
