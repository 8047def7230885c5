"""halfarc turned and halfarc log, and what check, focus and make write into the logbook."""

import csv
import io
import json
import os
import random
import signal
import subprocess
import threading
import time
import unittest

from bench import BINARY, Bench, halfarc
from small_run import write_run


class Log(Bench):
    def setUp(self):
        super().setUp()
        self.home = self.folder / "home"
        self.home.mkdir()
        self.book = self.home / "logbook.db"

    def run_here(self, *words, **options):
        return halfarc(*words, home=self.home, **options)

    def good(self, *words):
        run = self.run_here(*words)
        self.assertEqual((run.returncode, run.stderr), (0, ""), f"{words}: {run.stdout}{run.stderr}")
        return run.stdout

    def log(self, *words):
        return self.document(self.run_here("log", *words, "--json"), "log")

    def turns(self):
        return [turn for night in self.log("export")["nights"] for turn in night["turns"]]


class Turned(Log):
    def test_amounts_as_people_say_them(self):
        for words, amount, unit in (
            (("screw-b", "1/8", "cw"), 0.125, "turn"),
            (("levers", "-3.5", "marks"), -3.5, "mark"),
            (("focus", "0.25 turn ccw"), -0.25, "turn"),
            (("screw-a", "-1/16"), -0.0625, "turn"),
            (("cooling", "20", "min"), 20.0, "min"),
        ):
            turn = self.document(self.run_here("turned", *words, "--json"), "turned")["turn"]
            self.assertEqual((turn["control"], turn["amount"], turn["unit"]), (words[0], amount, unit))
        self.assertEqual(len(self.turns()), 5)

    def test_one_line_says_what_was_noted_and_what_to_do_next(self):
        said = self.good("turned", "screw-b", "1/8", "cw", "--at", "2026-11-25T21:04Z")
        self.assertRegex(said, r"^Noted at 21:04 UTC: screw-b 1/8 turn clockwise\. Next: [^\n]*\n$")
        self.assertIn("turned screw-b 1/8 turn clockwise", self.good("log", "show", "2026-11-25"))

    def test_the_last_one_is_taken_back(self):
        self.good("turned", "focus", "1", "cw")
        self.good("turned", "focus", "2", "cw")
        back = self.document(self.run_here("turned", "--undo", "--json"), "turned")
        self.assertEqual(back["taken_back"]["amount"], 2.0)
        self.assertIn("No longer noted", self.good("turned", "--undo"))
        self.expect_one_line(self.run_here("turned", "--undo"), 3, "no turn was noted")

    def test_bad_words(self):
        self.expect_one_line(self.run_here("turned"), 2, "how far")
        self.expect_one_line(self.run_here("turned", "focus"), 2, "how far")
        self.expect_one_line(self.run_here("turned", "antenna", "1"), 3, '"antenna"', "screw-b")
        for amount in ("nan", "1/0", "much", "1 cw ccw", "inf", "1e400", "3 marks"):
            self.expect_one_line(self.run_here("turned", "focus", amount), 3)
        self.expect_one_line(self.run_here("turned", "focus", "1", "--at", "2026-02-30"), 3, "2026-02-30")
        self.expect_one_line(self.run_here("turned", "focus", "1", "--undo"), 2, "--undo")
        self.assertFalse(self.book.exists())

    def test_a_home_folder_that_is_not_there_is_made(self):
        home = self.folder / "a" / "new" / "home"
        self.assertEqual(halfarc("turned", "focus", "1/4", "cw", home=home).returncode, 0)
        self.assertTrue((home / "logbook.db").exists())


class Written(Log):
    def test_check_writes_and_no_log_does_not(self):
        clip = self.folder / "clip.ser"
        write_run(clip)
        self.good("check", clip, "--quiet", "--no-log")
        self.assertFalse(self.book.exists())
        self.good("check", clip, "--quiet")
        self.good("check", clip, "--quiet", "--json")
        night = self.log("show", "2026-11-25")["night"]
        self.assertEqual(len(night["recordings"]), 1)
        recording = night["recordings"][0]
        self.assertEqual(recording["kind"], "planet")
        self.assertEqual(recording["path"], str(clip))
        self.assertEqual(recording["start_utc"], "2026-11-25T21:00:00.000Z")
        readings = {r["name"]: r for r in recording["readings"]}
        self.assertAlmostEqual(readings["disc_diameter"]["value"], 60.0, delta=1.0)
        self.assertGreater(readings["disc_diameter"]["sigma"], 0.0)
        self.assertEqual(self.log("list", "--search", "clip.ser")["nights"][0]["night"], night["night"])
        self.assertEqual(self.log("list", "--search", "saturn")["nights"], [])

    def test_make_writes(self):
        run = self.folder / "run.ser"
        write_run(run)
        self.good("make", run, "-o", self.folder / "image.fits", "--scale", "0.2", "--quiet")
        night = self.log("show", "1")["night"]
        self.assertEqual(night["images"][0]["path"], str(self.folder / "image.fits"))
        self.assertEqual(len(night["recordings"]), 1)

    def test_notes_trends_and_lists(self):
        self.assertIn("Noted at", self.good("log", "note", "haze", "low down", "--wind", "2.5"))
        note = self.log("note", "clearing: 100% éclair", "--at", "2020-11-25 22:00")["noted"]
        self.assertEqual(note["text"], "clearing: 100% éclair")
        self.assertEqual(len(self.log()["nights"]), 2)
        self.assertEqual(len(self.log("list", "--last", "1")["nights"]), 1)
        self.assertEqual(self.log("trends"), {"schema": "halfarc.log/1", "trends": [], "responses": []})
        self.assertIn("haze low down", self.good("log", "show", "1"))
        self.assertIn("clearing", self.good("log", "show", "2020-11-25"))

    def test_exports(self):
        self.good("log", "note", 'said "no, never"', "--at", "2026-11-25 22:00")
        self.good("turned", "levers", "-1", "mark", "--at", "2026-11-25 22:01")
        self.log("export")
        rows = list(csv.DictReader(io.StringIO(self.good("log", "export", "--csv"))))
        self.assertEqual([row["what"] for row in rows], ["turn", "note"])
        self.assertEqual(rows[1]["text"], 'said "no, never"')
        self.assertEqual(float(rows[0]["value"]), -1.0)
        out = self.folder / "book.csv"
        self.assertEqual(self.good("log", "export", "--csv", "-o", out), "")
        self.assertIn("never", out.read_text(encoding="utf-8"))
        self.expect_one_line(self.run_here("log", "export", "--csv", "--json"), 2, "--csv")
        self.expect_one_line(self.run_here("log", "export", "-o", self.folder / "no" / "book.json"), 1, "book.json")

    def test_bad_words(self):
        self.expect_one_line(self.run_here("log"), 3, "no logbook yet")
        self.good("log", "note", "begun")
        self.expect_one_line(self.run_here("log", "shwo"), 2, "shwo")
        self.expect_one_line(self.run_here("log", "show"), 2, "number or its date")
        self.expect_one_line(self.run_here("log", "show", "77"), 3, '"77"', "log list")
        self.expect_one_line(self.run_here("log", "show", "2031-01-01"), 3, '"2031-01-01"')
        self.expect_one_line(self.run_here("log", "list", "twice"), 2, "no further words")
        self.expect_one_line(self.run_here("log", "note"), 3, "without words")
        self.expect_one_line(self.run_here("log", "note", "x", "--wind", "-2"), 2, "--wind")


class BadFiles(Log):
    """The reading is on the screen whatever state the logbook is in, and one line says what is wrong."""

    def expect_reading_and_one_line(self, *parts, **options):
        clip = self.folder / "clip.ser"
        if not clip.exists():
            write_run(clip)
            clip.chmod(0o644)
        run = self.run_here("check", clip, "--quiet", **options)
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertIn("a planet", run.stdout)
        self.assertEqual(len(run.stderr.splitlines()), 1, run.stderr)
        for part in ("halfarc: not in the logbook: ", "logbook.db", *parts):
            self.assertIn(part, run.stderr)

    def test_foreign_damaged_and_odd_files(self):
        for content, says in ((b"this is a letter to my aunt\n" * 100, "is not a logbook"), (b"short", "is not a logbook")):
            self.book.write_bytes(content)
            self.expect_reading_and_one_line(says)
            for words in (("turned", "focus", "1"), ("log",), ("log", "note", "x"), ("log", "export"), ("log", "trends")):
                self.expect_one_line(self.run_here(*words), 3, "logbook.db", says)
            self.assertEqual(self.book.read_bytes(), content)
        self.book.unlink()
        self.book.mkdir()
        self.expect_reading_and_one_line("is a folder")

    def test_a_truncated_logbook(self):
        for i in range(3):
            self.good("log", "note", "word " * 4000)
        whole = self.book.read_bytes()
        self.assertGreater(len(whole), 60_000)
        for size in (60, 1000, 4096, 4096 * 5, len(whole) // 2, len(whole) - 4096):
            self.book.write_bytes(whole[:size])
            run = self.run_here("log", "show", "1")
            self.expect_one_line(run, 3, "logbook.db")
            self.assertRegex(run.stderr, "is damaged|is not a logbook|another program")

    def test_an_empty_file_becomes_a_logbook(self):
        self.book.touch()
        self.good("turned", "focus", "1")
        self.assertEqual(len(self.turns()), 1)

    @unittest.skipUnless(hasattr(os, "geteuid"), "needs user numbers")
    def test_a_home_that_may_not_be_written(self):
        nobody = {"user": 65534, "group": 65534, "extra_groups": []} if os.geteuid() == 0 else {}
        self.folder.chmod(0o755)
        if nobody and subprocess.run(["test", "-x", BINARY], **nobody).returncode != 0:
            self.skipTest("nobody may not run the binary where it lies")
        self.good("turned", "focus", "1")
        for file in self.home.iterdir():
            file.chmod(0o444)
        self.home.chmod(0o555)
        self.addCleanup(self.home.chmod, 0o755)
        self.expect_one_line(self.run_here("turned", "focus", "1", **nobody), 1, "logbook.db", "HALFARC_HOME")
        self.expect_reading_and_one_line("HALFARC_HOME", **nobody)
        shown = self.run_here("log", "show", "1", **nobody)
        self.assertIn("turned focus 1 turn", shown.stdout, shown.stderr)


class Survives(Log):
    def test_nothing_acknowledged_is_lost_by_kill_9(self):
        chance, said = random.Random(5), []
        begin = time.monotonic()
        self.good("turned", "cooling", "1")
        usual = time.monotonic() - begin
        # The bars count events, not seconds: on a busy machine the window of the shots follows the last whole run.
        until = time.monotonic() + 120.0
        acknowledged, killed = set(), 0
        while (len(acknowledged) < 20 or killed < 40) and time.monotonic() < until:
            number = len(said) + 1000
            begin = time.monotonic()
            child = subprocess.Popen(
                [BINARY, "turned", "cooling", str(number)],
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                env={**os.environ, "HALFARC_HOME": str(self.home)},
            )
            killer = threading.Timer(chance.uniform(0.0, 2.0 * usual), child.send_signal, [signal.SIGKILL])
            killer.start()
            out, err = child.communicate()
            killer.cancel()
            self.assertIn(child.returncode, (0, -signal.SIGKILL), err)
            if child.returncode == 0:
                usual = time.monotonic() - begin
            else:
                killed += 1
                usual *= 1.02
            said.append(number)
            if out.startswith(b"Noted at") and out.endswith(b"\n"):
                acknowledged.add(number)
        kept = {int(turn["amount"]) for turn in self.turns()}
        self.assertGreaterEqual(len(acknowledged), 20)
        self.assertGreaterEqual(killed, 40)
        self.assertEqual(acknowledged - kept, set())

    def test_writers_at_once(self):
        children = [
            subprocess.Popen(
                ["sh", "-c", f'for i in 1 2 3 4 5 6 7 8; do "$0" turned cooling "$((10 * $i + {writer}))" || exit 1; done', BINARY],
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                env={**os.environ, "HALFARC_HOME": str(self.home)},
            )
            for writer in range(4)
        ]
        for child in children:
            out, err = child.communicate(timeout=120)
            self.assertEqual((child.returncode, err), (0, b""))
            self.assertEqual(len(out.splitlines()), 8)
        kept = sorted(int(turn["amount"]) for turn in self.turns())
        self.assertEqual(kept, sorted(10 * i + writer for i in range(1, 9) for writer in range(4)))


if __name__ == "__main__":
    unittest.main()
