"""halfarc where: words, document, wrong values, and what it refuses for safety."""

import unittest

from bench import Bench, halfarc

SITE = ("--site", "57.1N,2.1W,12")


class Where(Bench):
    def test_words(self):
        run = halfarc("where", "jupiter", "--at", "2026-11-25T04:00:00Z", *SITE)
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertEqual(run.stderr, "")
        self.assertIn("Jupiter", run.stdout)

    def test_document(self):
        for body in ("mercury", "venus", "mars", "jupiter", "saturn", "uranus", "neptune", "moon"):
            run = halfarc("where", body, "--at", "2026-11-25T01:00:00Z", *SITE, "--json")
            document = self.document(run, "where")
            self.assertEqual(document["utc"][:19], "2026-11-25T01:00:00")
            self.assertAlmostEqual(document["site"]["longitude_deg"], -2.1)  # east is positive

    def test_another_time_zone_is_the_same_instant(self):
        documents = [
            self.document(halfarc("where", "mars", "--at", at, *SITE, "--json"), "where")
            for at in ("2026-11-25T01:00:00Z", "2026-11-25T02:00:00+01:00")
        ]
        self.assertEqual(documents[0], documents[1])

    def test_wrong_values(self):
        self.expect_one_line(halfarc("where", "vulcan"), 3, "vulcan")
        self.expect_one_line(halfarc("where", "mars", "--at", "2026-02-30"), 3, "2026-02-30")
        self.expect_one_line(halfarc("where", "mars", "--at", "1500-01-01"), 3, "1500")
        self.expect_one_line(halfarc("where", "mars", "--site", "somewhere"), 3, "somewhere")
        self.expect_one_line(halfarc("where", "mars", "--site", "91N,0E,0"), 3)
        self.expect_one_line(halfarc("where", "mars", "--sun-exclusion", "wide"), 2, "--sun-exclusion")

    def test_narrowing_the_sun_exclusion_needs_a_reason(self):
        run = halfarc("where", "venus", *SITE, "--sun-exclusion", "10")
        self.assertIn(run.returncode, (2, 3, 4))
        self.assertIn("reason", run.stderr)
        self.assertEqual(run.stdout, "")


if __name__ == "__main__":
    unittest.main()
