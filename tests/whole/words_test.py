"""The words of the command line: help, version, and wrong usage."""

import re
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
