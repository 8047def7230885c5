"""halfarc report: the observation of an image that make wrote, in every form."""

import json
import unittest

from bench import Bench, halfarc
from small_run import write_run

KELDERHAVEN = ("--site", "57.12N,2.08W,12")


class Report(Bench):
    def setUp(self):
        super().setUp()
        run, self.image = self.folder / "run.ser", self.folder / "image.fits"
        write_run(run)
        made = halfarc("make", run, "-o", self.image, "--scale", "0.2", "--quiet", "--no-log")
        self.assertEqual(made.returncode, 0, made.stderr)

    def test_the_document_holds_what_the_header_and_the_sky_tell(self):
        run = halfarc("report", self.image, "--target", "mars", *KELDERHAVEN, "--observer", "A. Kelder", "--seeing", "1.6",
                      "--exposure-ms", "8", "--comments", "first <light>", "--json")
        report = self.document(run, "report")
        self.assertEqual(report["object"], "Mars")
        self.assertTrue(report["mid_utc"].startswith("2026-11-25T21:0"), report["mid_utc"])
        self.assertEqual(report["observer"], "A. Kelder")
        self.assertEqual(report["recording"]["exposure_ms"], 8.0)
        self.assertGreater(report["recording"]["frames_kept"], 10)
        self.assertGreater(report["resolution"]["sigma"], 0.0)
        self.assertEqual(report["seeing"]["numeral"], "III")
        # What `where` says of that instant.
        where = json.loads(halfarc("where", "mars", "--at", report["mid_utc"], *KELDERHAVEN, "--json").stdout)
        self.assertAlmostEqual(report["disc"]["diameter_arcsec"], where["diameter_arcsec"], delta=0.01)

    def test_every_form(self):
        for form, holds in (("html", "<svg"), ("svg", "<svg"), ("txt", "Mars"), ("json", "halfarc.report/1")):
            out = self.folder / f"report.{form}"
            run = halfarc("report", self.image, "--target", "mars", *KELDERHAVEN, "-o", out, "--comments", "<b>bold</b>")
            self.assertEqual((run.returncode, run.stdout, run.stderr), (0, "", ""))
            text = out.read_text(encoding="utf-8")
            self.assertIn(holds, text)
            if form in ("html", "svg"):
                self.assertNotIn("<b>bold", text)

    def test_without_a_place_there_is_no_altitude(self):
        report = self.document(halfarc("report", self.image, "--target", "mars", "--json"), "report")
        self.assertNotIn("station", report)
        self.assertNotIn("altitude_deg", report)

    def test_the_night_of_an_image(self):
        home = self.folder / "home"
        made = halfarc("init", "--site", "57.1N,2.1W,12", "--name", "Kelderhaven", home=home)
        self.assertEqual(made.returncode, 0, made.stderr)
        run = self.folder / "run.ser"
        again = halfarc("make", run, "-o", self.image, "--scale", "0.2", "--quiet", home=home)
        self.assertEqual(again.returncode, 0, again.stderr)
        night = self.document(halfarc("report", "--night", "2026-11-25", "--json", home=home), "session")
        self.assertEqual([image["name"] for image in night["images"]], ["image.fits"])
        self.assertEqual(night["place"], "Kelderhaven")
        self.assertEqual(len(night["lines"]), 2)  # the run and the image
        page = self.folder / "night.html"
        self.assertEqual(halfarc("report", "--night", "1", "-o", page, home=home).returncode, 0)
        self.assertIn("data:image/png;base64", page.read_text(encoding="utf-8"))
        self.expect_one_line(halfarc("report", "--night", "9", home=home), 3, '"9"')
        self.expect_one_line(halfarc("report", "--night", "1", "-o", self.folder / "a.doc", home=home), 3, "html")
        self.expect_one_line(halfarc("report", home=home), 2, "which image")

    def test_bad_words_and_files(self):
        self.expect_one_line(halfarc("report", self.image), 3, "--target")
        self.expect_one_line(halfarc("report", self.image, "--target", "vulcan"), 3, "vulcan")
        self.expect_one_line(halfarc("report", self.folder / "gone.fits", "--target", "mars"), 3, "gone.fits")
        self.expect_one_line(halfarc("report", self.folder / "run.ser", "--target", "mars"), 3, "run.ser")
        self.expect_one_line(halfarc("report", self.image, "--target", "mars", "-o", self.folder / "a.doc"), 3, ".html")
        self.image.with_suffix(".png").unlink()
        self.expect_one_line(halfarc("report", self.image, "--target", "mars", "-o", self.folder / "a.html"), 3, "image.png")


if __name__ == "__main__":
    unittest.main()
