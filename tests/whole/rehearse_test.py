"""halfarc rehearse: a night of recordings with their truth; killed or out of disk it leaves whole files and one line."""

import os
import resource
import signal
import subprocess
import time
import unittest

from bench import BINARY, Bench, halfarc


class Rehearse(Bench):
    def test_a_tiny_night(self):
        night = self.folder / "night"
        run = halfarc("rehearse", "-o", night, "--tiny", "--quiet")
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertEqual(run.stderr, "")
        recordings = [p for p in night.glob("*.fits") if not p.stem.endswith("-image")]
        self.assertGreater(len(recordings), 25)
        for path in recordings:
            self.assertTrue((night / "truth" / f"{path.stem}-truth.fits").exists(), path)
        self.assertEqual(len(list(night.glob("*-image.fits"))), 3)
        self.assertIn("Mistake", run.stdout)
        self.assertIn("in truth", run.stdout)
        # Names carry step and UT; the file of the wrong clock is an hour out of order.
        names = sorted(p.name for p in recordings)
        clocks = [n.split("-")[1] for n in names]
        self.assertNotEqual(clocks, sorted(clocks))
        check = halfarc("check", next(night.glob("03-*.fits")), "--as", "star")
        self.assertEqual(check.returncode, 0, check.stderr)

    def test_killed_half_way_it_leaves_whole_earlier_files(self):
        night = self.folder / "night"
        with subprocess.Popen([BINARY, "rehearse", "-o", night, "--tiny", "--quiet"], stdout=subprocess.DEVNULL) as run:
            for _ in range(600):
                time.sleep(0.05)
                if len(list(night.glob("0[1-9]-*.fits"))) >= 4:
                    break
            run.send_signal(signal.SIGKILL)
            run.wait()
        recordings = sorted(night.glob("[0-9]*.fits"))
        self.assertGreaterEqual(len(recordings), 4)
        for path in recordings[:-1]:
            check = halfarc("check", path, "--json")
            self.assertEqual(check.returncode, 0, check.stderr)
            self.assertTrue((night / "truth" / f"{path.stem}-truth.fits").exists(), path)

    def test_a_full_disk_is_one_line(self):
        def small_files():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (20000, 20000))

        run = subprocess.run([BINARY, "rehearse", "-o", self.folder / "night", "--tiny", "--quiet"],
                             capture_output=True, text=True, preexec_fn=small_files, check=False)
        self.assertEqual(run.returncode, 1)
        self.assertEqual(len(run.stderr.strip().splitlines()), 1, run.stderr)
        self.assertIn("cannot write", run.stderr)

    def test_live_answers_to_the_logbook(self):
        """The owner's hand: one turn after the first practice clip, then nothing more."""
        night = self.folder / "night"
        home = self.folder / "home"
        environment = {**os.environ, "HALFARC_HOME": str(home)}
        with subprocess.Popen([BINARY, "rehearse", "-o", night, "--tiny", "--quiet", "--live", "--pace", "1000",
                               "--patience", "20"], stdout=subprocess.PIPE, text=True, env=environment) as run:
            for line in run.stdout:
                if "your hand" in line:
                    break
            turned = subprocess.run([BINARY, "turned", "screw-a", "1/16", "cw"], capture_output=True, text=True,
                                    env=environment, check=False)
            self.assertEqual(turned.returncode, 0, turned.stderr)
            seen = []
            for line in run.stdout:
                seen.append(line)
                if "your hand" in line:
                    break
            self.assertTrue(any("screw-a: 1/16 turn clockwise" in line for line in seen), seen)
            self.assertTrue(any("collimate-before-2.fits" in line for line in seen), seen)
            run.kill()
            run.wait()


if __name__ == "__main__":
    unittest.main()
