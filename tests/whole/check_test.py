"""halfarc check on small recordings whose truth is known: disc, motion, exposure, clock, and several at once."""

import json
import unittest

from bench import Bench, halfarc
from small_run import RADIUS, write_run


class Check(Bench):
    def setUp(self):
        super().setUp()
        self.clip = self.folder / "clip.ser"
        write_run(self.clip)

    def check(self, *words):
        return self.document(halfarc("check", self.clip, "--json", "--quiet", *words), "check")

    def test_words(self):
        run = halfarc("check", self.clip, "--quiet")
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertEqual(run.stderr, "")
        for part in ("a planet", "160 frames of 96 x 96", "disc", "none missing"):
            self.assertIn(part, run.stdout)

    def test_readings_agree_with_what_was_drawn(self):
        clip = self.check()
        recording, disc = clip["recording"], clip["disc"]
        self.assertEqual(clip["kind"], "planet")
        self.assertEqual([recording[key] for key in ("width", "height", "bits", "frames")], [96, 96, 8, 160])
        self.assertEqual(recording["start_utc"], "2026-11-25T21:00:00.000Z")
        self.assertEqual(recording["dropped_frames"], 0)
        self.assertAlmostEqual(recording["fps"], 50.0, delta=0.01)
        self.assertAlmostEqual(disc["equatorial_diameter_px"], 2.0 * RADIUS, delta=5.0 * disc["sigma_px"])
        self.assertLess(disc["sigma_px"], 0.5)
        self.assertAlmostEqual(clip["exposure"]["background_adu"], 12.0, delta=0.3)
        for rms in clip["motion"]["rms_px"]:
            self.assertGreater(rms, 0.3)  # the places are drawn with a spread of 0.7 px
            self.assertLess(rms, 1.1)

    def test_scale_turns_pixels_into_arcseconds(self):
        clip = self.check("--scale", "0.2")
        self.assertAlmostEqual(clip["scale"]["arcsec_per_px"], 0.2)
        self.assertIn('"', halfarc("check", self.clip, "--quiet", "--scale", "0.2").stdout)

    def test_same_document_for_any_number_of_threads(self):
        self.assertEqual(self.check("--threads", "1"), self.check("--threads", "2"))

    def test_several_clips_are_one_document(self):
        run = halfarc("check", self.clip, self.clip, "--json", "--quiet")
        self.assertEqual(run.returncode, 0, run.stderr)
        documents = json.loads(run.stdout)
        self.assertEqual(len(documents), 2)
        self.assertEqual(documents[0], documents[1])

    def test_a_gap_in_the_times_is_counted(self):
        write_run(self.clip, missing=(40, 41, 90))
        self.assertEqual(self.check()["recording"]["dropped_frames"], 3)

    def test_a_truncated_clip_is_survived_and_said(self):
        whole = self.clip.read_bytes()
        self.clip.write_bytes(whole[: 178 + 96 * 96 * 100 + 1234])
        recording = self.check()["recording"]
        self.assertEqual(recording["frames"], 100)
        self.assertIn("100", " ".join(recording["notes"]))

    def test_it_writes_nothing(self):
        before = self.clip.read_bytes()
        self.check()
        self.assertEqual(self.left_behind(), ["clip.ser"])
        self.assertTrue(self.clip.read_bytes() == before)

    def test_wrong_usage_and_absent_clips(self):
        self.expect_one_line(halfarc("check"), 2, "CLIP")
        self.expect_one_line(halfarc("check", self.clip, "--as", "comet"), 2, "--as")
        self.expect_one_line(halfarc("check", self.clip, "--scale", "-1"), 2, "--scale")
        self.expect_one_line(halfarc("check", self.folder / "absent.ser"), 3, "absent.ser", "no such file")

    def test_a_star_out_of_focus_is_told_in_waves(self):
        shot, ring = self.folder / "ring.toml", self.folder / "ring.fits"
        shot.write_text(
            "seed = 3\n[telescope]\namplifier = 1.0\ndefocus_waves = 5.0\ncoma_waves = [0.4, 0.0]\n"
            '[camera]\nwidth = 112\nheight = 112\npattern = "mono"\nelectrons_per_adu = 3.0\n'
            '[body]\nkind = "star"\n[light]\nelectrons = [4e5, 4e5, 4e5]\n[air]\nr0_cm = 8.0\n'
            "[timing]\nframes = 160\nframes_per_s = 20.0\nexposure_ms = 7.0\n",
            encoding="utf-8",
        )
        home = self.folder / "home"
        for words in (("simulate", shot, "-o", ring, "--quiet"), ("init",)):
            run = halfarc(*words, home=home)
            self.assertEqual(run.returncode, 0, run.stderr)
        words = ("check", ring, "--quiet", "--scale", "0.3505")
        donut = self.document(halfarc(*words, "--json", home=home), "check")["donut"]
        self.assertAlmostEqual(donut["coma_waves"][0], 0.4, delta=0.05)
        self.assertAlmostEqual(donut["coma_waves"][1], 0.0, delta=0.05)
        self.assertAlmostEqual(donut["defocus_waves"], 5.0, delta=0.15)
        self.assertLess(donut["hole_offset"][0], -3.0 * donut["hole_offset_sigma"][0])  # the flare leaves the hole behind
        self.assertIn("flare towards 3 o'clock", halfarc(*words, home=home).stdout)

        no_rig = self.document(halfarc("check", ring, "--json", "--quiet"), "check")["donut"]
        self.assertIn("outer_diameter_px", no_rig)
        self.assertNotIn("coma_waves", no_rig)


if __name__ == "__main__":
    unittest.main()
