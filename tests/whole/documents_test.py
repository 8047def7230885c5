"""Every command that README and the guides print is typed as printed, in an empty home and an empty folder.

A command is a line of a block that begins with ```sh; a block of any other kind must say ```text. One shell types a
document from its first line to its last, so what one command leaves is there for the next, as for a reader.

What is not typed as printed, and why:

- sudo, apt-get, ./run, ./test, cmake, ctest: they install or build the tree that this test is a part of. A script named
  so must be there and be a program.
- halfarc serve, watch, rehearse --live: they go on until Ctrl-C. They are begun as printed, must say that they have
  begun, and end at Ctrl-C. `serve` gets `--port 0` besides: its usual port may be taken on this machine.
- halfarc rehearse of any size but --tiny takes minutes. It is begun and ended likewise; then a --tiny night, played once
  for all documents, stands where its recordings would.
"""

import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
NOT_TYPED = re.compile(r"(sudo|apt-get|cmake|ctest|\./run|\./test)\b")
GOES_ON = re.compile(r"halfarc (serve|watch|rehearse)\b")
TINY = re.compile(r"halfarc rehearse .*--tiny\b")
NIGHT = "tonight"  # the folder of which the documents speak


def blocks(text):
    """The fenced blocks of a document: what each is of, and its lines."""
    found, kind, lines = [], None, []
    for line in text.splitlines():
        if line.startswith("```") and kind is None:
            kind, lines = line[3:], []
        elif line.startswith("```"):
            found.append((kind, lines))
            kind = None
        elif kind is not None:
            lines.append(line)
    return found


def commands(text):
    return [line for kind, lines in blocks(text) if kind == "sh" for line in lines if line.strip()]


def stop_when_begun(line):
    """Begins a command, waits for its first words, presses Ctrl-C; says what was wrong, if anything."""
    with subprocess.Popen(["bash", "-c", "exec " + line], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as child:
        first = child.stdout.readline()
        child.send_signal(signal.SIGINT)
        try:
            said, complaint = child.communicate(timeout=30)
        except subprocess.TimeoutExpired:
            child.kill()
            return "does not end at Ctrl-C"
    if not first.strip():
        return f"said nothing: {complaint}"
    return f"ended with {child.returncode}: {said}{complaint}" if child.returncode < 0 else ""


def typed(line, night):
    """What the shell is given for a printed line."""
    if NOT_TYPED.match(line):
        script = line.split()[0]
        return f"test -x {shlex.quote(str(ROOT / script))}" if script.startswith("./") else ":"
    if not GOES_ON.match(line) or TINY.match(line) and night is None:
        return line
    if TINY.match(line):
        return f"cp -al {shlex.quote(str(night))} {NIGHT}"
    words = line.split("#")[0].strip()
    begun = f"{shlex.quote(sys.executable)} {shlex.quote(__file__)} --begin {shlex.quote(words)}"
    if line.startswith("halfarc serve"):
        begun = begun.replace("halfarc serve", "halfarc serve --port 0")
    if line.startswith("halfarc rehearse") and night is not None:
        begun += f" && rm -rf {NIGHT} && cp -al {shlex.quote(str(night))} {NIGHT}"
    return begun


class Documents(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        folder = tempfile.TemporaryDirectory(prefix="halfarc_documents.")
        cls.addClassCleanup(folder.cleanup)
        cls.folder = Path(folder.name)
        programs = cls.folder / "programs"
        programs.mkdir()
        (programs / "halfarc").symlink_to(Path(os.environ["HALFARC"]).resolve())
        cls.path = f"{programs}:{os.environ['PATH']}"
        # As docs/rehearsal.md prints it.
        (line,) = [line for line in commands((ROOT / "docs/rehearsal.md").read_text(encoding="utf-8")) if TINY.match(line)]
        cls.run_in(cls.folder, line)
        cls.night = cls.folder / NIGHT

    @classmethod
    def run_in(cls, folder, script):
        home = folder / "home-of-the-reader"
        home.mkdir(exist_ok=True)
        environment = {**os.environ, "PATH": cls.path, "HOME": str(home)}
        for name in ("HALFARC_HOME", "XDG_DATA_HOME"):
            environment.pop(name, None)
        return subprocess.run(["bash", "-c", script], cwd=folder, env=environment, capture_output=True, text=True,
                              stdin=subprocess.DEVNULL, timeout=240, check=False)

    def follow(self, name):
        """Types the whole document; the first line that fails is told with what it said."""
        text = (ROOT / name).read_text(encoding="utf-8")
        for kind, lines in blocks(text):
            self.assertIn(kind, ("sh", "text"), f"{name}: a block must say what it is: {lines[:1]}")
        lines = commands(text)
        self.assertTrue(lines, name)
        folder = self.folder / Path(name).stem
        folder.mkdir()
        steps = [f"{typed(line, self.night)}\ncode=$?; if [ $code -ne 0 ]; then echo @@{number} $code; exit 1; fi"
                 for number, line in enumerate(lines)]
        run = self.run_in(folder, "\n".join(steps))
        if failed := re.search(r"@@(\d+) (\d+)\n\Z", run.stdout):
            self.fail(f"{name}: {lines[int(failed.group(1))]}\nexit {failed.group(2)}\n{run.stdout[-2000:]}{run.stderr[-2000:]}")
        self.assertEqual(run.returncode, 0, run.stderr)
        shutil.rmtree(folder)

    def test_readme(self):
        self.follow("README.md")

    def test_guide(self):
        self.follow("docs/guide.md")

    def test_rehearsal(self):
        self.follow("docs/rehearsal.md")

    def test_links_lead_somewhere(self):
        documents = [*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")]
        self.assertGreater(len(documents), 10)
        for document in documents:
            for target in re.findall(r"\]\(([^)#\s]+)[^)]*\)", document.read_text(encoding="utf-8")):
                if "://" not in target:
                    self.assertTrue((document.parent / target).exists(), f"{document.relative_to(ROOT)}: {target}")


if __name__ == "__main__":
    if sys.argv[1:2] == ["--begin"]:
        sys.exit(stop_when_begun(sys.argv[2]) or 0)
    unittest.main()
