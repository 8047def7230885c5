"""halfarc make on a small recording: what it writes, says, and leaves behind when it is stopped."""

import os
import signal
import subprocess
import unittest

from bench import BINARY, Bench, halfarc
from small_run import write_run

OUTPUTS = ["image.fits", "image.png", "image.tif"]


class Make(Bench):
    def setUp(self):
        super().setUp()
        self.run_path = self.folder / "run.ser"
        write_run(self.run_path)
        self.image = self.folder / "image.fits"

    def make(self, *words):
        return halfarc("make", self.run_path, "-o", self.image, *words)

    def outputs(self):
        return [name for name in self.left_behind() if name != "run.ser"]

    def test_writes_an_image_in_three_forms(self):
        run = self.make()
        self.assertEqual(run.returncode, 0, run.stderr)
        self.assertIn("160 of 160 frames", run.stdout)
        self.assertIn("resolved", run.stdout)
        self.assertEqual(self.outputs(), OUTPUTS)
        fits = self.image.read_bytes()
        self.assertTrue(fits.startswith(b"SIMPLE  =                    T"))
        self.assertEqual(len(fits) % 2880, 0)  # FITS standard 4.0, section 3.1
        self.assertEqual((self.folder / "image.png").read_bytes()[:8], b"\x89PNG\r\n\x1a\n")
        self.assertIn((self.folder / "image.tif").read_bytes()[:4], (b"II*\0", b"MM\0*"))

    def test_progress_goes_to_stderr_in_lines(self):
        run = self.make()
        self.assertRegex(run.stderr, r"(?m)\A(\w[\w ]* \d+0 %\n)+\Z")
        self.assertNotIn("\r", run.stderr)
        self.assertEqual(self.make("--quiet").stderr, "")

    def test_json_is_one_document_and_nothing_else(self):
        document = self.document(self.make("--json", "--quiet"), "image")
        self.assertEqual(document["frames_read"], 160)
        self.assertEqual([os.path.basename(p) for p in document["outputs"]], ["image.fits", "image.tif", "image.png"])
        self.assertGreater(document["resolution"]["arcsec"], 0.0)
        self.assertGreater(document["resolution"]["sigma"], 0.0)

    def test_flashes_are_looked_for_when_asked(self):
        document = self.document(self.make("--flashes", "--json", "--quiet"), "image")
        self.assertEqual(document["flashes"][0]["frames_looked"], 160)
        self.assertEqual(document["flashes"][0]["found"], [])
        self.assertNotIn("flashes", self.document(self.make("--json", "--quiet"), "image"))

    def test_a_target_that_cannot_be_turned(self):
        run = self.make("--target", "moon", "--quiet")
        self.expect_one_line(run, 3, "Moon", "leave --target out")
        self.assertEqual(self.outputs(), [])

    def test_same_bytes_for_any_number_of_threads(self):
        images, documents = [], []
        for threads in ("1", "2", "3"):
            document = self.document(self.make("--json", "--quiet", "--threads", threads), "image")
            images.append([(self.folder / name).read_bytes() for name in OUTPUTS])
            del document["seconds"]
            documents.append(document)
        for other in (1, 2):
            self.assertEqual(documents[other], documents[0])
            self.assertTrue(images[other] == images[0], "the images differ")

    def test_a_truncated_recording_is_survived_and_said(self):
        whole = self.run_path.read_bytes()
        self.run_path.write_bytes(whole[: 178 + 96 * 96 * 100 + 1234])
        self.assertEqual(self.document(self.make("--json", "--quiet"), "image")["frames_read"], 100)
        self.assertIn("100", self.make("--quiet").stdout)

    def test_a_place_that_cannot_be_written(self):
        for place in (self.folder / "absent" / "image.fits", self.run_path / "image.fits"):
            run = halfarc("make", self.run_path, "-o", place, "--quiet")
            self.expect_one_line(run, 1, str(place))
        run = halfarc("make", self.run_path, "-o", self.folder, "--quiet")
        self.assertIn(run.returncode, (1, 2))
        self.assertEqual(self.outputs(), [])

    def test_the_recording_itself_is_never_overwritten(self):
        before = self.run_path.read_bytes()
        run = halfarc("make", self.run_path, "-o", self.run_path, "--quiet")
        self.expect_one_line(run, 2, "run.ser", "would replace the recording")
        self.assertTrue(self.run_path.read_bytes() == before, "the recording was overwritten")

    @unittest.skipUnless(os.path.exists("/dev/full"), "no /dev/full here")
    def test_says_when_its_words_cannot_be_written(self):
        with open("/dev/full", "w") as full:
            words = [BINARY, "make", str(self.run_path), "-o", str(self.image), "--quiet"]
            run = subprocess.run(words, stdout=full, stderr=subprocess.PIPE, text=True, timeout=240)
        self.assertEqual(run.returncode, 1)
        self.assertIn("standard output", run.stderr)


class StoppedMake(Bench):
    """A longer run, stopped when its second stage has begun."""

    def start_and_send(self, signal_number):
        write_run(self.folder / "run.ser", repeats=20)
        words = [BINARY, "make", str(self.folder / "run.ser"), "-o", str(self.folder / "image.fits")]
        process = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        first = process.stderr.readline()
        process.send_signal(signal_number)
        out, err = process.communicate(timeout=240)
        return process.returncode, out, first + err

    def test_an_interrupt_stops_it_in_its_own_time(self):
        for signal_number in (signal.SIGINT, signal.SIGTERM):
            code, out, err = self.start_and_send(signal_number)
            self.assertEqual(code, 1, err)
            self.assertEqual(out, "")
            self.assertEqual(err.splitlines()[-1], "halfarc: stopped as asked")
            self.assertEqual(self.left_behind(), ["run.ser"])

    def test_a_kill_leaves_no_final_name(self):
        code, _, _ = self.start_and_send(signal.SIGKILL)
        self.assertEqual(code, -signal.SIGKILL)
        self.assertFalse(set(self.left_behind()) & set(OUTPUTS))


if __name__ == "__main__":
    unittest.main()
