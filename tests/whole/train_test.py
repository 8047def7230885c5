"""halfarc train: the document, what a part changes, why, the drawing, and words that cannot be read."""

import unittest
import xml.etree.ElementTree as ElementTree

from bench import Bench, halfarc

NIGHT = "2026-11-26T05:00Z"  # Jupiter 45 deg high
SITE = "57.1N 2.1W 12 m"
RIGS = {
    "sct": "",
    "maksutov": '[[part]]\nkind = "diagonal"\nlength_mm = 60\n',
    "newtonian": '[[part]]\nkind = "amplifier"\nlength_mm = 30\nmagnification = 2.5\nlens_to_sensor_mm = 60\n',
    "refractor": '[[part]]\nkind = "spacer"\nlength_mm = 100\n[camera]\nmosaic = "mono"\n',
}


class Train(Bench):
    def train(self, *words, **options):
        return halfarc("train", "--json", *words, **options)

    def numbers(self, value, path=""):
        """Every number of a document with its path, but those that the rig gives."""
        if isinstance(value, dict):
            for key, inner in value.items():
                if key not in ("why", "length_mm", "glass_mm", "clear_mm", "region_px"):
                    yield from self.numbers(inner, f"{path}/{key}")
        elif isinstance(value, list):
            for i, inner in enumerate(value):
                yield from self.numbers(inner, f"{path}/{i}")
        elif isinstance(value, (int, float)) and not isinstance(value, bool):
            yield path[1:], value

    def test_the_document_of_the_example(self):
        found = self.document(self.train(), "train")
        self.assertAlmostEqual(found["scale_arcsec_per_px"], 0.1753, delta=0.0007)
        self.assertEqual([p["kind"] for p in found["parts"]], ["spacer", "amplifier", "corrector", "filter", "camera"])
        for block in ("change", "target", "dispersion", "prisms", "exposure", "smear"):
            self.assertNotIn(block, found)
        self.assertIn("No rig.toml", " ".join(found["cautions"]))

    def test_every_number_has_its_why(self):
        words = ("--target", "jupiter", "--at", NIGHT, "--site", SITE, "--remove", "UV/IR cut")
        found = self.document(self.train(*words), "train")
        why = {reason["field"]: reason["value"] for reason in found["why"]}
        self.assertEqual(dict(self.numbers(found)), why)

    def test_every_target_and_every_telescope_keeps_the_contract(self):
        for kind, parts in RIGS.items():
            (self.folder / "rig.toml").write_text(f'{parts}[telescope]\nkind = "{kind}"\n', encoding="utf-8")
            self.document(self.train(home=self.folder), "train")
            for target in ("jupiter", "moon", "mars"):
                found = self.document(
                    self.train("--target", target, "--at", NIGHT, "--site", SITE, home=self.folder), "train"
                )
                self.assertIn("exposure", found)

    def test_a_part_in_and_a_part_out(self):
        found = self.document(self.train("--add", "kind=spacer,name=ring,length_mm=25.4"), "train")["change"]
        self.assertEqual(found["part"], "ring in")
        self.assertIn(found["direction"], found["words"])
        found = self.document(self.train("--remove", "amplifier"), "train")["change"]
        self.assertGreater(found["light_factor"], 3.9)
        self.assertLess(found["scale_factor"], 0.51)
        both = self.document(
            self.train("--remove", "corrector", "--remove", "UV/IR cut", "--add", "kind=spacer,length_mm=35,at=1"), "train"
        )
        self.assertEqual(both["change"]["part"], "corrector out, UV/IR cut out, spacer in")
        self.assertEqual(both["parts"][0]["name"], "spacer")

    def test_region_peak_and_seeing_are_the_owners(self):
        words = ("--target", "jupiter", "--at", NIGHT, "--site", SITE)
        usual = self.document(self.train(*words), "train")["exposure"]
        asked = self.document(self.train(*words, "--region", "800x600", "--peak", "60", "--seeing", "3"), "train")["exposure"]
        self.assertEqual(asked["region_px"], [800, 600])
        self.assertAlmostEqual(asked["peak_fraction"], 0.6, delta=0.01)
        self.assertLess(asked["ms"], usual["ms"])
        self.expect_one_line(self.train(*words, "--region", "4000x600"), 3, "1920x1080")
        self.expect_one_line(self.train("--region", "640x480"), 2, "--target")

    def test_the_words_and_why(self):
        run = halfarc("train", "--target", "jupiter", "--at", NIGHT, "--site", SITE, "--explain")
        self.assertEqual(run.returncode, 0, run.stderr)
        for word in ("Focal length", "Corrector", "Exposure", "Smear", "\nWhy\n", "8 N^2 W lambda", "[BornWolf1999]"):
            self.assertIn(word, run.stdout)
        self.assertNotIn("\nWhy\n", halfarc("train").stdout)

    def test_the_drawing(self):
        file = self.folder / "train.svg"
        run = halfarc("train", "--svg", file, "--add", "kind=spacer,name=a<b,length_mm=3")
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertEqual(self.left_behind(), ["train.svg"])
        texts = [t.text for t in ElementTree.parse(file).iter("{http://www.w3.org/2000/svg}text")]
        for name in ("visual back", "amplifier", "a<b", "colour camera"):
            self.assertIn(name, texts)
        self.expect_one_line(halfarc("train", "--svg", self.folder / "none" / "x.svg"), 1, "none")

    def test_bad_words_say_what_to_type(self):
        self.expect_one_line(self.train("--add", "ring"), 3, "kind=spacer,length_mm=20")
        self.expect_one_line(self.train("--add", "kind=spacer"), 3, "length_mm")
        self.expect_one_line(self.train("--add", "kind=spacer,length_mm=long"), 3, "length_mm")
        self.expect_one_line(self.train("--add", "kind=cork,length_mm=2"), 3, "spacer")
        self.expect_one_line(self.train("--add", "kind=spacer,length_mm=2,at=9"), 3, "1 to 5")
        self.expect_one_line(self.train("--remove", "teapot"), 3, "teapot", "amplifier")
        self.expect_one_line(self.train("--remove", "colour camera"), 3, "camera")
        self.expect_one_line(self.train("--target", "pluto"), 3, "Jupiter")
        self.expect_one_line(self.train("--target", "jupiter", "--at", "soon"), 3, "2026-11-25T21:04Z")
        self.expect_one_line(self.train("--target", "jupiter", "--at", "2026-11-25T18:00Z", "--site", SITE), 3, "horizon")
        self.expect_one_line(self.train("--at", NIGHT), 2, "--target")

    def test_the_sun_is_refused(self):
        day = ("--at", "2026-10-25T12:00Z", "--site", SITE)
        self.expect_one_line(self.train("--target", "venus", *day), 4, "30 deg")
        self.expect_one_line(self.train("--target", "sun", *day), 4, "not a solar tool")


if __name__ == "__main__":
    unittest.main()
