"""halfarc where: the document, the words, and the refusals."""

import unittest

from bench import Bench, halfarc

NIGHT = "2026-11-25T22:04Z"
SITE = "57.1N 2.1W 12 m"


class Where(Bench):
    def where(self, target, at=NIGHT, site=SITE, *words):
        return halfarc("where", target, "--at", at, "--site", site, "--json", *words)

    def test_every_body_keeps_the_contract(self):
        for target in ("moon", "mercury", "venus", "mars", "jup", "Saturn", "uranus", "neptune", "sun"):
            found = self.document(self.where(target), "where")
            self.assertEqual(found["utc"], "2026-11-25T22:04:00.000Z")
            self.assertEqual(found["site"], {"latitude_deg": 57.1, "longitude_deg": -2.1, "height_m": 12.0})

    def test_jupiter_stands_where_jpl_has_it(self):
        # JPL Horizons, 279 E 29 N 10 m: astrometric and apparent place, azimuth, and airless altitude.
        found = self.document(self.where("jupiter", "2012-01-04T00:00Z", "29,279,10"), "where")
        self.assertAlmostEqual(found["astrometric"]["ra_deg"], 28.66251, delta=4e-5)
        self.assertAlmostEqual(found["astrometric"]["dec_deg"], 10.45084, delta=4e-5)
        self.assertAlmostEqual(found["ra_deg"], 28.82868, delta=6e-5)
        self.assertAlmostEqual(found["dec_deg"], 10.51114, delta=6e-5)
        self.assertAlmostEqual(found["azimuth_deg"], 159.6184, delta=0.003)

    def test_the_words_name_what_was_asked(self):
        run = halfarc("where", "saturn", "--at", "25 Nov 2026 22:04", "--site", SITE)
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertTrue(run.stdout.startswith("Saturn, 2026-11-25 22:04:00 UTC, from 57.1000 N, 2.1000 W, 12 m\n"))
        for word in ("Altitude", "Diameter", "Ring", "Titan", "airmass"):
            self.assertIn(word, run.stdout)

    def test_by_day_the_way_there_is_checked_against_the_sun(self):
        day = "2026-11-25T10:00Z"
        self.expect_one_line(self.where("jupiter", day, SITE, "--from", "180,10"), 4, "slew", "cap")
        found = self.document(self.where("jupiter", "2026-11-26T08:30Z", SITE, "--from", "300,60"), "where")
        self.assertGreater(found["slew"]["nearest_sun_deg"], 30.0)
        self.assertNotIn("slew", self.document(self.where("jupiter", NIGHT, SITE, "--from", "180,10"), "where"))
        self.expect_one_line(self.where("jupiter", day, SITE, "--from", "400,2"), 3, "azimuth")

    def test_without_a_site_it_says_whose_figures_these_are(self):
        found = self.document(halfarc("where", "mars", "--at", NIGHT, "--json"), "where")
        self.assertIn("Kelderhaven", " ".join(found["cautions"]))

    def test_refusals_near_the_sun(self):
        self.expect_one_line(self.where("venus", "2026-10-25T12:00Z"), 4, "Sun is up", "30 deg")
        self.expect_one_line(self.where("sun", "2026-10-25T12:00Z"), 4, "not a solar tool")
        day = "2026-11-25T12:00Z"  # Venus 38 deg from the Sun
        found = self.document(self.where("venus", day), "where")
        self.assertIn("Sun is up", found["cautions"][0])
        self.expect_one_line(self.where("venus", day, SITE, "--sun-exclusion", "60"), 4, "60 deg")
        early = "2026-11-13T12:00Z"  # 30 deg less a little
        self.expect_one_line(self.where("venus", early), 4, "exclusion of 30 deg")
        self.expect_one_line(self.where("venus", early, SITE, "--sun-exclusion", "20"), 4, "--reason")
        reason = "tube stands in the shade of the gable"
        found = self.document(self.where("venus", early, SITE, "--sun-exclusion", "20", "--reason", reason), "where")
        self.assertIn(reason, " ".join(found["cautions"]))
        self.expect_one_line(self.where("venus", early, SITE, "--sun-exclusion", "5", "--reason", reason), 4, "10 deg")

    def test_another_time_zone_is_the_same_instant(self):
        documents = [
            self.document(self.where("mars", at), "where") for at in ("2026-11-25T01:00:00Z", "2026-11-25T02:00:00+01:00")
        ]
        self.assertEqual(documents[0], documents[1])

    def test_bad_words_say_what_to_type(self):
        self.expect_one_line(self.where("pluto"), 3, "Jupiter")
        self.expect_one_line(self.where("mars", "soon"), 3, "2026-11-25T21:04Z")
        self.expect_one_line(self.where("mars", "11/12/2026"), 3, "cannot be told apart")
        self.expect_one_line(self.where("mars", "1700-01-01"), 3, "1750")
        self.expect_one_line(self.where("mars", "1500-01-01"), 3, "1500")
        self.expect_one_line(self.where("mars", "2026-02-30"), 3, "2026-02-30")
        self.expect_one_line(self.where("mars", NIGHT, "north pole"), 3, "57.1,-2.1,12")
        self.expect_one_line(self.where("mars", NIGHT, "91N,0E,0"), 3, "91N,0E,0")
        self.expect_one_line(halfarc("where"), 2, "TARGET")
        self.expect_one_line(halfarc("where", "mars", "--sun-exclusion", "wide"), 2, "--sun-exclusion")


if __name__ == "__main__":
    unittest.main()
