"""What the tests of the whole binary share: run it, and say what came out."""

import json
import os
import subprocess
import tempfile
import unittest
from pathlib import Path

import jsonschema

BINARY = os.environ["HALFARC"]
CONTRACTS = Path(__file__).resolve().parents[2] / "docs" / "contracts"


# A home folder that is not there, so that the tests do not depend on whose machine they run on.
NO_HOME = str(Path(tempfile.gettempdir()) / "halfarc-of-nobody" / "none")


def halfarc(*words, home=NO_HOME, **options):
    """Runs the binary to its end; text in, text out, no terminal; with that home folder."""
    return subprocess.run(
        [BINARY, *map(str, words)],
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        timeout=options.pop("timeout", 240),
        env={**os.environ, "HALFARC_HOME": str(home)},
        **options,
    )


class Bench(unittest.TestCase):
    """A test with an empty folder of its own."""

    def setUp(self):
        folder = tempfile.TemporaryDirectory(prefix="halfarc_whole.")
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)

    def expect_one_line(self, run, code, *parts):
        """The run ended with `code`, said one line on stderr that holds each part, and nothing on stdout."""
        said = f"{run.args[1:]} -> {run.returncode}\n{run.stdout}{run.stderr}"
        self.assertEqual(run.returncode, code, said)
        self.assertEqual(run.stdout, "", said)
        lines = run.stderr.splitlines()
        self.assertEqual(len(lines), 1, said)
        self.assertTrue(lines[0].startswith("halfarc: "), said)
        for part in parts:
            self.assertIn(part, lines[0], said)

    def document(self, run, name):
        """The one JSON document that a run printed, held against the contract of that name."""
        self.assertEqual(run.returncode, 0, run.stderr)
        document = json.loads(run.stdout)
        self.assertEqual(document["schema"], f"halfarc.{name}/1")
        jsonschema.validate(document, json.loads((CONTRACTS / f"{name}.schema.json").read_text(encoding="utf-8")))
        return document

    def left_behind(self):
        return sorted(p.name for p in self.folder.iterdir())
