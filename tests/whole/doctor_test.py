"""halfarc doctor: whether a machine and its folders are fit for a night."""

import unittest

from bench import Bench, halfarc


class Doctor(Bench):
    def test_prints_its_document_for_a_new_home(self):
        home = self.folder / "home"
        self.assertEqual(halfarc("init", home=home).returncode, 0)
        run = halfarc("doctor", "--json", "--watch", self.folder, home=home)
        document = self.document(run, "doctor")
        found = {one["subject"]: one for one in document["findings"]}
        self.assertEqual(found["home"]["health"], "good")
        self.assertEqual(found["rig"]["health"], "good")
        self.assertIn(found["disk"]["health"], ("good", "caution"))
        self.assertEqual(self.left_behind(), ["home"])

    def test_a_folder_that_is_not_there_is_a_fault_and_an_exit_code(self):
        run = halfarc("doctor", "--no-disk", "--watch", self.folder / "none")
        self.assertNotEqual(run.returncode, 0)
        self.assertIn("recordings  fault", run.stdout)
        self.assertEqual(len(run.stderr.splitlines()), 1)

    def test_refuses_a_region_that_is_none(self):
        self.expect_one_line(halfarc("doctor", "--no-disk", "--region", "0x0"), 3, "0x0")


if __name__ == "__main__":
    unittest.main()
