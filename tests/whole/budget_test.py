"""halfarc budget: the document, the table in words, what a recording replaces, and the refusals."""

import unittest

from bench import Bench, halfarc
from small_run import write_run

NIGHT = ("--target", "jupiter", "--at", "2026-11-26T04:00Z", "--site", "57.1N 2.1W 12 m")


def row(table, cause):
    return next(r for r in table["rows"] if r["cause"] == cause)


class Budget(Bench):
    def test_prediction_keeps_the_contract(self):
        found = self.document(halfarc("budget", *NIGHT, "--json"), "budget")
        rows = found["predicted"]["rows"]
        self.assertEqual(rows[-1]["cause"], "diffraction")
        self.assertEqual([r["gain"] for r in rows[:-1]], sorted((r["gain"] for r in rows[:-1]), reverse=True))
        product = 1.0
        for r in rows:
            product *= 1.0 if r["undone_afterwards"] else r["half_arc_contrast"]
        self.assertAlmostEqual(found["predicted"]["half_arc_contrast"] / product, 1.0, delta=0.05)
        self.assertNotIn("measured", found)

    def test_what_is_typed_moves_its_row(self):
        usual = self.document(halfarc("budget", *NIGHT, "--json"), "budget")["predicted"]
        typed = self.document(
            halfarc("budget", *NIGHT, "--seeing", 2.5, "--warmer", 3, "--defocus", 0.5, "--coma", 0.6, "--json"), "budget"
        )["predicted"]
        for cause in ("air", "tube_heat", "focus", "collimation"):
            self.assertLess(row(typed, cause)["half_arc_contrast"], row(usual, cause)["half_arc_contrast"], cause)
        self.assertIn("focus", halfarc("budget", *NIGHT, "--defocus", 0.6, "--warmer", 0).stdout.split("Next:")[1])

    def test_words_hold_every_cause_and_one_next_step(self):
        run = halfarc("budget", *NIGHT)
        self.assertEqual(run.returncode, 0, run.stderr)
        for words in ("moving air", "tube heat", "collimation", "focus", "dispersion inside", "diffraction", "Next:"):
            self.assertIn(words, run.stdout)
        self.assertIn("No rig.toml", run.stdout)

    def test_a_recording_replaces_what_it_can_measure(self):
        clip = self.folder / "run.ser"
        write_run(clip, frames=320)
        found = self.document(
            halfarc("budget", clip, "--target", "saturn", "--site", "57.1N 2.1W 12 m", "--json", "--quiet"), "budget"
        )
        self.assertEqual(found["utc"][:16], "2026-11-25T21:00")
        sources = {r["cause"]: r["source"] for r in found["measured"]["rows"]}
        self.assertEqual(sources["tube_heat"], "predicted")
        self.assertTrue(sources["air"] == "measured" or found["notes"])

    def test_refusals(self):
        self.expect_one_line(halfarc("budget", "--target", "sun"), 4, "solar")
        self.expect_one_line(halfarc("budget", "--target", "pluto"), 3, "pluto")
        self.expect_one_line(halfarc("budget", *NIGHT[:2], "--at", "2026-11-25T18:00Z", *NIGHT[4:]), 3, "too low", "--at")
        self.expect_one_line(halfarc("budget", "none.ser", *NIGHT), 3, "none.ser")
        self.expect_one_line(halfarc("budget"), 2, "--target")


if __name__ == "__main__":
    unittest.main()
