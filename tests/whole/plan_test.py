"""halfarc plan: the words, the document, and the wrong words."""

import unittest
from datetime import timezone

import icalendar

from bench import Bench, halfarc

SITE = ("--site", "57.1N,2.1W,12")


class Plan(Bench):
    def test_the_document_keeps_the_contract(self):
        plan = self.document(halfarc("plan", "--date", "2026-11-25", *SITE, "--json"), "plan")
        self.assertEqual(plan["date"], "2026-11-25")
        self.assertEqual(len(plan["targets"]), 8)
        self.assertTrue(plan["targets"][0]["windows"])

    def test_polar_day_and_night(self):
        for date in ("2026-06-21", "2026-12-21"):
            for site in ("70,25,0", "-70,25,0", "90,0,0", "-90,0,0"):
                self.document(halfarc("plan", "--date", date, "--site", site, "--json"), "plan")

    def test_the_words_say_what_to_do_and_when(self):
        run = halfarc("plan", "--date", "25 Nov 2026", *SITE)
        self.assertEqual(run.returncode, 0, run.stderr)
        for words in ("The night of 2026-11-25", "Sun down", "Do this", "put the tube out", "Take care", "not a solar tool"):
            self.assertIn(words, run.stdout)

    def test_targets_and_horizon(self):
        horizon = self.folder / "horizon.csv"
        horizon.write_text("azimuth,altitude,kind,warm\n110,30,roof,yes\n180,30,roof,yes\n181,0\n100,0\n", encoding="utf-8")
        plan = self.document(
            halfarc("plan", "--date", "2026-11-25", *SITE, "--target", "jup", "--horizon", horizon, "--json"), "plan"
        )
        self.assertEqual([t["target"] for t in plan["targets"]], ["Jupiter"])
        self.assertIn("over a warm roof", " ".join(w["reason"] for w in plan["targets"][0]["windows"]))

    def test_the_page_and_the_calendar(self):
        page, calendar = self.folder / "night.html", self.folder / "night.ics"
        run = halfarc("plan", "--date", "2026-11-25", *SITE, "--html", page, "--ics", calendar)
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertEqual(self.left_behind(), ["night.html", "night.ics"])
        self.assertIn("</svg>", page.read_text(encoding="utf-8"))
        entries = icalendar.Calendar.from_ical(calendar.read_bytes()).walk("VEVENT")
        self.assertGreaterEqual(len(entries), 5)
        self.assertEqual(len({str(e["UID"]) for e in entries}), len(entries))
        for entry in entries:
            begins, ends = entry.decoded("DTSTART"), entry.decoded("DTEND")
            self.assertEqual(begins.utcoffset(), timezone.utc.utcoffset(None))
            self.assertLess(begins, ends)
            self.assertTrue(str(entry["SUMMARY"]))

    def test_an_output_that_cannot_be_written_is_said(self):
        nowhere = self.folder / "no" / "night.html"
        self.expect_one_line(halfarc("plan", *SITE, "--html", nowhere), 1, "night.html")

    def test_bad_words_say_what_to_type(self):
        self.expect_one_line(halfarc("plan", "--target", "sun"), 4, "not a solar tool")
        self.expect_one_line(halfarc("plan", "--target", "pluto"), 3, "Jupiter")
        self.expect_one_line(halfarc("plan", "--date", "someday"), 3, "2026-11-25T21:04Z")
        self.expect_one_line(halfarc("plan", "--site", "97,0"), 3, "latitude")
        missing = self.folder / "none.csv"
        self.expect_one_line(halfarc("plan", "--horizon", missing), 3, "none.csv")
        missing.write_text("10,95\n", encoding="utf-8")
        self.expect_one_line(halfarc("plan", "--horizon", missing), 3, "none.csv, line 1", "135.0,22.5,roof,yes")


if __name__ == "__main__":
    unittest.main()
