"""Bad input: exit 3 with one line that names the file, nothing on stdout, and nothing left behind."""

import os
import unittest

from bench import Bench, halfarc
from small_run import raw_header


BAD_FILES = {
    "empty.ser": b"",
    "short.ser": raw_header()[:100],
    "header-only.ser": raw_header(),
    "no-size.ser": raw_header(width=0) + b"x" * 4096,
    "negative.ser": raw_header(width=-64) + b"x" * 4096,
    "absurd.ser": raw_header(width=2**31 - 1, height=2**31 - 1, frames=2**31 - 1) + b"x" * 4096,
    "bits.ser": raw_header(bits=77) + b"x" * 65536,
    "text.ser": b"this is a letter to my aunt\n" * 100,
    "text.fits": b"this is a letter to my aunt\n" * 100,
    "short.fits": b"SIMPLE  =                    T",
    "short.png": b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
    "short.avi": b"RIFF\x10\0\0\0AVI LIST",
    "noise.mp4": bytes(range(256)) * 40,
}


class BadInput(Bench):
    def expect_refused(self, name, *parts):
        path = self.folder / name
        before = self.left_behind()
        self.expect_one_line(halfarc("make", path, "-o", self.folder / "image.fits"), 3, name, *parts)
        self.expect_one_line(halfarc("check", path), 3, name, *parts)
        self.expect_one_line(halfarc("check", path, "--json"), 3, name, *parts)
        self.assertEqual(self.left_behind(), before)

    def test_files_that_are_no_recordings(self):
        for name, content in BAD_FILES.items():
            (self.folder / name).write_bytes(content)
            self.expect_refused(name)

    def test_a_file_that_is_not_there(self):
        self.expect_refused("absent.ser", "no such file")
        self.expect_refused("absent/night.ser", "no such file")

    def test_a_file_with_a_newline_in_its_name(self):
        run = halfarc("make", self.folder / "two\nlines.ser", "-o", self.folder / "image.fits")
        self.expect_one_line(run, 3, "two lines.ser")

    def test_a_folder_without_pictures(self):
        (self.folder / "night").mkdir()
        self.expect_refused("night")
        (self.folder / "night" / "notes.txt").write_text("clouds")
        self.expect_refused("night")

    @unittest.skipIf(os.geteuid() == 0, "root may read every file")
    def test_a_file_that_may_not_be_read(self):
        path = self.folder / "locked.ser"
        path.write_bytes(raw_header() + b"x" * 64 * 48 * 10)
        path.chmod(0)
        self.expect_refused("locked.ser")

    def test_things_that_are_no_files(self):
        os.mkfifo(self.folder / "pipe.ser")
        self.expect_refused("pipe.ser")
        self.expect_one_line(halfarc("make", "/dev/null", "-o", self.folder / "image.fits"), 3, "/dev/null")
        self.expect_one_line(halfarc("make", "/dev/zero", "-o", self.folder / "image.fits"), 3, "/dev/zero")


if __name__ == "__main__":
    unittest.main()
