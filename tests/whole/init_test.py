"""halfarc init, and the home folder that it begins: site.toml, rig.toml, horizon.csv, features.csv."""

import tomllib
import unittest

from bench import Bench, halfarc

NIGHT = ("--date", "2026-11-25")
INSTANT = ("--at", "2026-11-25T22:04Z")


class Init(Bench):
    def setUp(self):
        super().setUp()
        self.home = self.folder / "new" / "halfarc"

    def run_here(self, *words):
        return halfarc(*words, home=self.home)

    def test_writes_both_files_and_says_what_to_edit(self):
        run = self.run_here("init")
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertEqual(sorted(p.name for p in self.home.iterdir()), ["rig.toml", "site.toml"])
        self.assertIn("edit site.toml", run.stdout)
        site = tomllib.loads((self.home / "site.toml").read_text(encoding="utf-8"))
        self.assertEqual(
            site, {"name": "Kelderhaven", "latitude_deg": 57.1, "longitude_deg": -2.1, "height_m": 12.0}
        )
        rig = tomllib.loads((self.home / "rig.toml").read_text(encoding="utf-8"))
        self.assertEqual(rig["telescope"]["aperture_mm"], 203.0)
        self.assertEqual([part["kind"] for part in rig["part"]], ["spacer", "amplifier", "corrector", "filter"])
        self.assertEqual(rig["camera"]["pixel_um"], 3.45)

    def test_does_not_overwrite_unless_forced(self):
        self.assertEqual(self.run_here("init").returncode, 0)
        before = (self.home / "site.toml").read_bytes()
        self.expect_one_line(self.run_here("init", "--site", "28.3N,16.5W,2390"), 3, "site.toml", "--force")
        self.assertEqual((self.home / "site.toml").read_bytes(), before)
        (self.home / "site.toml").unlink()
        self.expect_one_line(self.run_here("init"), 3, "rig.toml", "--force")
        self.assertFalse((self.home / "site.toml").exists())
        run = self.run_here("init", "--site", "28.3N,16.5W,2390", "--name", 'the "high" garden', "--force")
        self.assertEqual(run.returncode, 0, run.stderr)
        found = self.document(self.run_here("where", "mars", *INSTANT, "--json"), "where")
        self.assertEqual(
            found["site"],
            {"name": 'the "high" garden', "latitude_deg": 28.3, "longitude_deg": -16.5, "height_m": 2390.0},
        )

    def test_a_folder_that_cannot_be_made_is_said(self):
        (self.folder / "new").write_text("a file", encoding="utf-8")
        self.expect_one_line(self.run_here("init"), 1, "HALFARC_HOME")
        self.expect_one_line(self.run_here("init", "--site", "97,0"), 3, "latitude")

    def test_where_and_plan_use_the_site_and_say_so(self):
        self.run_here("init", "--site", "28.3N,16.5W,2390", "--name", "Garden")
        self.assertIn("from Garden, 28.3000 N", self.run_here("where", "mars", *INSTANT).stdout)
        plan = self.document(self.run_here("plan", *NIGHT, "--json"), "plan")
        self.assertEqual(plan["site"]["name"], "Garden")
        self.assertEqual(plan["site"]["latitude_deg"], 28.3)
        self.assertNotIn("Kelderhaven", " ".join(plan["cautions"]))

    def test_what_is_typed_wins(self):
        self.run_here("init", "--site", "28.3N,16.5W,2390", "--name", "Garden")
        found = self.document(self.run_here("where", "mars", *INSTANT, "--site", "57.1,-2.1,12", "--json"), "where")
        self.assertEqual(found["site"], {"latitude_deg": 57.1, "longitude_deg": -2.1, "height_m": 12.0})

    def test_without_files_it_says_whose_night_this_is(self):
        plan = self.document(self.run_here("plan", *NIGHT, "--json"), "plan")
        self.assertIn("Kelderhaven", plan["site"]["name"])
        self.assertIn("halfarc init", " ".join(plan["cautions"]))

    def test_the_traced_horizon_belongs_to_its_own_site(self):
        self.run_here("init", "--name", "Garden")
        (self.home / "horizon.csv").write_text("0,85,hill\n180,85,hill\n", encoding="utf-8")
        windows = lambda plan: sum(len(t["windows"]) for t in plan["targets"])
        self.assertEqual(windows(self.document(self.run_here("plan", *NIGHT, "--json"), "plan")), 0)
        elsewhere = self.run_here("plan", *NIGHT, "--site", "57.1,-2.1,12", "--json")
        self.assertGreater(windows(self.document(elsewhere, "plan")), 0)
        flat = self.folder / "flat.csv"
        flat.write_text("0,0\n", encoding="utf-8")
        typed = self.run_here("plan", *NIGHT, "--horizon", flat, "--json")
        self.assertGreater(windows(self.document(typed, "plan")), 0)

    def test_features_are_among_the_events(self):
        self.home.mkdir(parents=True)
        # One of these stands on the meridian in the dark hours: Jupiter turns by 36 deg an hour.
        rows = [f"Spot {lon},Jupiter,{lon},II,0,2026-11-20" for lon in range(0, 360, 60)]
        (self.home / "features.csv").write_text("\n".join(rows + ["Old,Mars,10,I,,2025-01-01"]), encoding="utf-8")
        plan = self.document(self.run_here("plan", *NIGHT, "--json"), "plan")
        events = [e for e in plan["events"] if "crosses the middle" in json_words(e)]
        self.assertGreaterEqual(len(events), 3)
        self.assertIn("Old", " ".join(plan["cautions"]))
        moon_only = self.document(self.run_here("plan", *NIGHT, "--target", "moon", "--json"), "plan")
        self.assertFalse([e for e in moon_only["events"] if "crosses the middle" in json_words(e)])

    def test_broken_files_are_one_clear_line(self):
        self.home.mkdir(parents=True)
        site = self.home / "site.toml"
        for text, *parts in (
            ("latitude_deg = 57.1\nlongitude_deg = \n", "line 2"),
            ("latitude_deg = 57.1\n", "longitude_deg is missing"),
            ("latitude_deg = 97\nlongitude_deg = 0\n", "line 1", "from -90"),
            ("latitude_deg = 57\nlongitude_deg = 0\nlattitude = 3\n", "line 3", "lattitude"),
        ):
            site.write_text(text, encoding="utf-8")
            for words in (("where", "mars"), ("plan",)):
                self.expect_one_line(self.run_here(*words), 3, "site.toml", *parts)
        site.unlink()
        site.mkdir()
        self.expect_one_line(self.run_here("plan"), 3, "site.toml", "cannot be read")
        site.rmdir()
        for name, parts in (("horizon.csv", ("line 1", "no altitude")), ("features.csv", ("line 1", "6 values"))):
            (self.home / name).write_text("10,95\n", encoding="utf-8")
            self.expect_one_line(self.run_here("plan"), 3, name, *parts)
            (self.home / name).unlink()


def json_words(event):
    return " ".join(str(v) for v in event.values())


if __name__ == "__main__":
    unittest.main()
