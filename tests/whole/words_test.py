"""The words of the command line: help, version, and wrong usage."""

import re
import subprocess
import unittest

from bench import Bench, halfarc


def commands():
    """The commands that the help lists."""
    listed = halfarc("--help").stdout.split("Subcommands:\n")[1].split("\n\n")[0]
    return re.findall(r"^  (\w+)", listed, re.MULTILINE)


class Words(Bench):
    def test_help_names_the_job_and_the_commands(self):
        run = halfarc("--help")
        self.assertEqual(run.returncode, 0)
        self.assertEqual(run.stderr, "")
        self.assertIn("recordings of planets and the Moon", run.stdout)
        self.assertIn("not a solar tool", run.stdout)
        self.assertIn("make", commands())

    def test_version(self):
        run = halfarc("--version")
        self.assertEqual(run.returncode, 0)
        self.assertRegex(run.stdout, r"^halfarc \d+\.\d+\.\d+\n$")

    def test_every_command_has_help_with_examples(self):
        for command in commands():
            for flag in ("--help", "-h"):
                run = halfarc(command, flag)
                self.assertEqual(run.returncode, 0)
                self.assertEqual(run.stderr, "")
                self.assertRegex(run.stdout, rf"Examples:\n  halfarc {command}\b")
                self.assertIn("--quiet", run.stdout)

    def test_completions_and_the_manual_know_every_option_of_every_command(self):
        bash, zsh, fish = (halfarc("completion", shell).stdout for shell in ("bash", "zsh", "fish"))
        manual = halfarc("manual").stdout.replace("\\-", "-")
        for command in commands():
            options = set(re.findall(r"(--[a-z][a-z-]*)", halfarc(command, "--help").stdout.split("Options")[1].split("Examples:")[0]))
            here = re.search(rf"^ +' {command}'\) words='([^']*)'", bash, re.MULTILINE).group(1).split()
            for option in options:
                self.assertIn(option, here, command)
                self.assertIn(f"'{option}[", zsh, command)
                self.assertRegex(fish, rf"seen_subcommand_from {command}'.* -l {option[2:]}\b")
                self.assertIn(option, manual.split(f'.SS "{command}"\n')[1].split(".SS")[0], command)

    def test_bash_finishes_what_was_begun(self):
        script = self.folder / "halfarc.bash"
        script.write_text(halfarc("completion", "bash").stdout, encoding="utf-8")

        def finish(*words):
            typed = " ".join(f"'{word}'" for word in words)
            ask = f"source {script}; COMP_WORDS=({typed}); COMP_CWORD={len(words) - 1}; _halfarc; echo ${{COMPREPLY[@]}}"
            return subprocess.run(["bash", "-c", ask], capture_output=True, text=True, check=True).stdout.split()

        self.assertEqual(finish("halfarc", "reh"), ["rehearse"])
        self.assertEqual(finish("halfarc", "doctor", "--no"), ["--no-disk"])
        self.assertEqual(finish("halfarc", "log", "note", "--wi"), ["--wind"])

    def test_wrong_usage(self):
        self.expect_one_line(halfarc(), 2, "which command", "halfarc --help")
        self.expect_one_line(halfarc(""), 2, "no command")
        self.expect_one_line(halfarc("chekc"), 2, '"chekc"', "halfarc --help")
        self.expect_one_line(halfarc("two\nlines"), 2, '"two lines"')
        self.expect_one_line(halfarc("--frobnicate"), 2, '"--frobnicate"')
        for command in commands():
            see = f"halfarc {command} --help"
            self.expect_one_line(halfarc(command, "--frobnicate"), 2, see)
            for threads in ("0", "-1", "two", "1e9", ""):
                self.expect_one_line(halfarc(command, "--threads", threads), 2, "--threads", see)
        self.expect_one_line(halfarc("make"), 2, "RUN")
        self.expect_one_line(halfarc("make", "a.ser"), 2, "--output")
        self.expect_one_line(halfarc("make", "a.ser", "-o"), 2, "--output")


if __name__ == "__main__":
    unittest.main()
