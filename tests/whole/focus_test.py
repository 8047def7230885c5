"""halfarc focus on a small simulated series of a star, and words that cannot be read."""

import random
import unittest

from bench import Bench, halfarc

BEST = 0.08  # turns; a turn is two waves here

SHOT = """
seed = {seed}
[telescope]
defocus_waves = {waves}
[camera]
width = 64
height = 64
pattern = "mono"
electrons_per_adu = 3.0
[body]
kind = "star"
[light]
electrons = [1e5, 1e5, 1e5]
[air]
r0_cm = {r0}
[timing]
frames = 80
frames_per_s = 20.0
exposure_ms = 8.0
"""


class Focus(Bench):
    def series(self, positions):
        chance = random.Random(7)
        words = []
        for number, position in enumerate(positions):
            shot = self.folder / f"shot-{number}.toml"
            shot.write_text(
                SHOT.format(seed=number + 1, waves=2.0 * (position - BEST), r0=chance.uniform(4.5, 6.5)),
                encoding="utf-8",
            )
            clip = self.folder / f"clip-{number}.fits"
            run = halfarc("simulate", shot, "-o", clip, "--quiet")
            self.assertEqual(run.returncode, 0, run.stderr)
            words.append(f"{clip}@{position}")
        return words

    def test_finds_focus_and_says_so(self):
        words = self.series([-0.48, -0.32, -0.16, 0.0, 0.16, 0.32, 0.48])
        found = self.document(halfarc("focus", *words, "--json", "--quiet"), "focus")
        self.assertTrue(found["trustworthy"], found["doubts"])
        self.assertAlmostEqual(found["best"]["position"], BEST, delta=0.0625)  # an eighth of a wave
        self.assertLess(found["best"]["sigma"], 0.06)
        self.assertEqual([p["position"] for p in found["points"]], [-0.48, -0.32, -0.16, 0.0, 0.16, 0.32, 0.48])
        self.assertTrue(all(p["clips"] == 1 for p in found["points"]))
        self.assertAlmostEqual(found["to_turn"]["value"], found["best"]["position"] - 0.48)
        self.assertFalse(found["leave_alone"])
        self.assertIn("counter-clockwise", found["words"])

        spoken = halfarc("focus", *words, "--quiet")
        self.assertEqual(spoken.returncode, 0, spoken.stderr)
        for part in ("best focus at", "by these clips", "Turn the knob"):
            self.assertIn(part, spoken.stdout)

        one_sided = self.document(halfarc("focus", *words[4:], words[3], "--json", "--quiet"), "focus")
        self.assertFalse(one_sided["trustworthy"])
        self.assertTrue(any("too few" in doubt for doubt in one_sided["doubts"]))
        self.assertIn("Do not trust", one_sided["words"])

    def test_words_that_cannot_be_read(self):
        for words in ("clip.ser", "clip.ser@", "clip.ser@far", "@0.5", "clip.ser@1e9", "clip.ser@nan"):
            self.expect_one_line(halfarc("focus", words), 2, words, "@")
        self.expect_one_line(halfarc("focus", "no-such.ser@0.5"), 3, "no-such.ser")


if __name__ == "__main__":
    unittest.main()
