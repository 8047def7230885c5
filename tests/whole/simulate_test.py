"""halfarc simulate: recordings with their truth, the same bytes on any number of threads, read back."""

import unittest

from bench import Bench, halfarc

SHOT = """
name = "a small ruddy disc"
seed = 3
[camera]
width = 128
height = 96
[body]
kind = "ruddy disc"
diameter_arcsec = 11.0
[timing]
start = "2026-11-25T21:04:00Z"
frames = 100
"""

SIMULATED = ["night-shot.toml", "night-truth.fits", "night.fits"]


class Simulate(Bench):
    def setUp(self):
        super().setUp()
        self.shot = self.folder / "shot.toml"
        self.shot.write_text(SHOT, encoding="utf-8")
        self.recording = self.folder / "night.fits"

    def simulate(self, *words):
        run = halfarc("simulate", self.shot, "-o", self.recording, "--quiet", *words)
        self.assertEqual(run.returncode, 0, run.stderr)
        return run

    def contents(self):
        return {name: (self.folder / name).read_bytes() for name in SIMULATED}

    def test_writes_recording_truth_and_shot(self):
        run = self.simulate()
        self.assertEqual(self.left_behind(), SIMULATED + ["shot.toml"])
        for name in SIMULATED:
            self.assertIn(name, run.stdout)
        cube = self.recording.read_bytes()
        self.assertEqual(len(cube) % 2880, 0)  # FITS standard 4.0, section 3.1
        cards = {card[:8].strip(): card[10:30].strip() for card in (cube[i : i + 80] for i in range(0, 2880, 80))}
        self.assertEqual([cards[key] for key in (b"NAXIS1", b"NAXIS2", b"NAXIS3")], [b"128", b"96", b"100"])

    def test_same_bytes_for_any_number_of_threads_and_again(self):
        seen = []
        for threads in ("1", "2", "2"):
            self.simulate("--threads", threads)
            seen.append(self.contents())
        self.assertTrue(seen[1] == seen[0] and seen[2] == seen[0])

    def test_another_seed_is_another_night(self):
        self.simulate()
        first = self.contents()
        self.shot.write_text(SHOT.replace("seed = 3", "seed = 4"), encoding="utf-8")
        self.simulate()
        self.assertFalse(self.contents()["night.fits"] == first["night.fits"])

    def test_the_written_shot_makes_the_same_recording(self):
        self.simulate()
        first = self.contents()
        self.shot.write_bytes(first["night-shot.toml"])
        self.simulate()
        again = self.contents()
        for name in ("night.fits", "night-truth.fits"):
            self.assertTrue(again[name] == first[name], name)

    def test_the_recording_can_be_made_into_an_image(self):
        self.simulate()
        run = halfarc("make", self.recording, "-o", self.folder / "image.fits", "--json", "--quiet")
        document = self.document(run, "image")
        self.assertEqual(document["frames_read"], 100)
        self.assertEqual(len(document["planes"]), 3)

    def test_bad_shots(self):
        for text, part in (
            ("[[[", "line 1"),
            ("frobnicate = 1", "frobnicate"),
            ("[camera]\nwidth = 'wide'", "width"),
            ("[camera]\nwidth = -5", "width"),
            ("[camera]\npattern = 'XTRANS'", "pattern"),
            ("[body]\nkind = 'cube'", "kind"),
            ("[timing]\nframes = 0", "frames"),
            ("[timing]\nstart = '2026-02-30'", "start"),
        ):
            self.shot.write_text(text, encoding="utf-8")
            run = halfarc("simulate", self.shot, "-o", self.recording, "--quiet")
            self.expect_one_line(run, 3, "shot.toml", part)
            self.assertEqual(self.left_behind(), ["shot.toml"])
        run = halfarc("simulate", self.folder / "absent.toml", "-o", self.recording, "--quiet")
        self.expect_one_line(run, 3, "absent.toml")

    def test_a_place_that_cannot_be_written(self):
        place = self.folder / "absent" / "night.fits"
        self.expect_one_line(halfarc("simulate", self.shot, "-o", place, "--quiet"), 1, str(place))


if __name__ == "__main__":
    unittest.main()
