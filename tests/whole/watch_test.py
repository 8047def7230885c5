"""halfarc watch: a folder in which recordings grow, vanish, are renamed, locked, empty, and no recordings at all."""

import json
import os
import signal
import subprocess
import threading
import time
import unittest

import jsonschema

from bench import BINARY, CONTRACTS, Bench, halfarc
from small_run import write_run

SCHEMA = json.loads((CONTRACTS / "watch.schema.json").read_text(encoding="utf-8"))


class Watch(Bench):
    def setUp(self):
        super().setUp()
        self.captures, self.home = self.folder / "captures", self.folder / "home"
        self.captures.mkdir()
        self.home.mkdir()
        self.clip = self.folder / "clip.ser"
        write_run(self.clip)
        self.lines, self.child = [], None

    def start(self, *words):
        self.child = subprocess.Popen(
            [BINARY, "watch", str(self.captures), "--json", "--quiet", *words],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env={**os.environ, "HALFARC_HOME": str(self.home)},
        )
        self.addCleanup(self.stop)
        self.reader = threading.Thread(target=self.read)
        self.reader.start()
        self.await_lines(1)  # it says that it watches
        time.sleep(0.2)

    def read(self):
        for line in self.child.stdout:
            document = json.loads(line)
            jsonschema.validate(document, SCHEMA)
            self.lines.append((time.monotonic(), document))

    def stop(self):
        if self.child.poll() is None:
            self.child.send_signal(signal.SIGINT)
        code = self.child.wait(timeout=20)
        self.reader.join()
        self.child.stdout.close()
        self.child.stderr.close()
        return code

    def await_lines(self, count, timeout=15.0):
        until = time.monotonic() + timeout
        while len(self.lines) < count and time.monotonic() < until:
            time.sleep(0.01)
        self.assertGreaterEqual(len(self.lines), count, self.lines)
        return [document for _, document in self.lines]

    def put(self, name, content=None):
        (self.captures / name).write_bytes(self.clip.read_bytes() if content is None else content)

    def names(self, documents):
        return [os.path.basename(d["path"]) for d in documents if "path" in d]

    def test_recordings_are_checked_once_as_they_are_closed(self):
        self.put("old.ser")
        self.start()
        whole = self.clip.read_bytes()
        with open(self.captures / "first.ser", "wb") as out:
            for at in range(0, len(whole), 200_000):
                out.write(whole[at : at + 200_000])
                out.flush()
                time.sleep(0.1)
        closed = time.monotonic()
        self.await_lines(2)
        self.assertLess(self.lines[1][0] - closed, 2.0)
        self.put("second.ser")
        time.sleep(0.05)
        self.put("third.ser")
        os.rename(self.captures / "first.ser", self.captures / "renamed.ser")
        documents = self.await_lines(4)
        time.sleep(1.0)
        self.assertEqual(self.names([d for _, d in self.lines]), ["first.ser", "second.ser", "third.ser"])
        self.assertEqual(documents[1]["check"]["kind"], "planet")
        self.assertEqual(documents[1]["check"]["recording"]["frames"], 160)
        self.assertEqual(self.stop(), 0)
        shown = json.loads(halfarc("log", "show", "1", "--json", home=self.home).stdout)
        self.assertEqual(len(shown["night"]["recordings"]), 3)

    def test_it_survives_what_is_no_recording(self):
        self.start("--no-log")
        self.put("empty.ser", b"")
        self.put("letter.ser", b"this is a letter to my aunt\n" * 100)
        self.put("notes.txt", b"clouds")
        self.put("vanishing.ser")
        (self.captures / "vanishing.ser").unlink()
        (self.captures / "folder").mkdir()
        (self.captures / "folder" / "notes.txt").write_text("clouds")
        os.mkfifo(self.captures / "pipe.ser")
        self.await_lines(2)
        self.put("good.ser")
        documents = self.await_lines(3)
        self.assertEqual(self.names(documents), ["letter.ser", "good.ser"])
        self.assertIn("letter.ser", documents[1]["error"]["where"])
        self.assertEqual(self.stop(), 0)
        self.assertEqual(list(self.home.iterdir()), [])

    def test_a_folder_that_goes_away_is_waited_for(self):
        self.start()
        elsewhere = self.folder / "elsewhere"
        os.rename(self.captures, elsewhere)
        self.assertIn("is gone", self.await_lines(2)[1]["said"])
        os.rename(elsewhere, self.captures)
        self.assertIn("is back", self.await_lines(3)[2]["said"])
        self.put("new.ser")
        self.assertEqual(self.names(self.await_lines(4)), ["new.ser"])

    def test_words(self):
        child = subprocess.Popen(
            [BINARY, "watch", str(self.captures), "--quiet"],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env={**os.environ, "HALFARC_HOME": str(self.home)},
        )
        self.assertIn("Watching", child.stdout.readline())
        time.sleep(0.2)
        self.put("mars.ser")
        self.assertIn("mars.ser: a planet", child.stdout.readline())
        time.sleep(0.3)
        child.terminate()
        _, err = child.communicate(timeout=20)
        self.assertEqual((child.returncode, err), (0, ""))

    def test_wrong_words(self):
        self.expect_one_line(halfarc("watch"), 2, "DIR")
        self.expect_one_line(halfarc("watch", self.folder / "absent", "--json"), 3, "absent", "is no folder")


if __name__ == "__main__":
    unittest.main()
