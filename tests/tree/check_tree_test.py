"""Plants one fault at a time in a small good tree and expects tools/check_tree.py to find that fault and no other."""

import contextlib
import io
import sys
import tempfile
import unittest
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tools"))
import check_tree  # noqa: E402

GOOD = {
    "src/halfarc/base/utc.h": "// An instant.\n#pragma once\n",
    "src/halfarc/measure/index.h": '// The index [Noll1976].\n#pragma once\n\n#include "halfarc/base/utc.h"\n',
    "src/halfarc/measure/index.cpp": '#include "halfarc/measure/index.h"\n',
    "src/halfarc/measure/CMakeLists.txt": "halfarc_add_module(measure SOURCES index.cpp)\n",
    "tests/measure/index_test.cpp": '#include "halfarc/measure/index.h"\n',
    "docs/bibliography.md": '- [Noll1976] R. J. Noll, "Zernike polynomials".\n',
}


def faults_of(changes):
    """What the check says of the good tree with some files changed (text) or removed (None)."""
    with tempfile.TemporaryDirectory() as folder:
        for name, text in {**GOOD, **changes}.items():
            if text is not None:
                path = Path(folder, name)
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text(text, encoding="utf-8")
        said = io.StringIO()
        with contextlib.redirect_stdout(said):
            code = check_tree.main([folder])
    lines = said.getvalue().splitlines()
    return (code, lines if code else [])


class CheckTree(unittest.TestCase):
    def expect_only(self, changes, part):
        code, faults = faults_of(changes)
        self.assertEqual(code, 1)
        self.assertEqual(len(faults), 1, faults)
        self.assertIn(part, faults[0])

    def expect_in_source(self, line, part):
        source = GOOD["src/halfarc/measure/index.cpp"] + line + "\n"
        self.expect_only({"src/halfarc/measure/index.cpp": source}, part)

    def test_good_tree(self):
        self.assertEqual(faults_of({}), (0, []))

    def test_floors(self):
        self.expect_in_source('#include "halfarc/sky/disc.h"', "measure may not know sky")
        self.expect_in_source('#include "halfarc/simulate/scene.h"', "measure may not know simulate")
        self.expect_in_source('#include "index.h"', "include it as")

    def test_types(self):
        twice = GOOD["src/halfarc/base/utc.h"] + "namespace halfarc {\nstruct Index {\n};\n}  // namespace halfarc\n"
        source = GOOD["src/halfarc/measure/index.cpp"]
        body = "class Index final : public Base {\n};\n}  // namespace"
        clash = source + "namespace halfarc {\n" + body + " halfarc\n"
        self.expect_only(
            {"src/halfarc/base/utc.h": twice, "src/halfarc/measure/index.cpp": clash}, "halfarc::Index is also defined in"
        )
        own = source + "namespace halfarc {\nnamespace {\n" + body + "\n}  // namespace halfarc\n"
        self.assertEqual(faults_of({"src/halfarc/base/utc.h": twice, "src/halfarc/measure/index.cpp": own}), (0, []))

    def test_system(self):
        self.expect_in_source("#include <sys/stat.h>", "<sys/stat.h> is of one system")
        source = GOOD["src/halfarc/measure/index.cpp"] + "#include <poll.h>\n"
        listed = "| `measure/index.cpp` | waiting | `poll` |\n"
        self.assertEqual(faults_of({"src/halfarc/measure/index.cpp": source, "docs/porting.md": listed}), (0, []))
        self.expect_only({"docs/porting.md": listed}, "measure/index.cpp asks nothing of the system")

    def test_mirror(self):
        self.expect_only({"tests/measure/index_test.cpp": None}, "has no tests/measure/index_test.cpp")
        test = GOOD["tests/measure/index_test.cpp"]
        moved = {"tests/measure/index_test.cpp": None, "tests/published/noll_test.cpp": test}
        self.assertEqual(faults_of(moved), (0, []))

    def test_source_that_is_not_built(self):
        self.expect_only({"src/halfarc/measure/CMakeLists.txt": "halfarc_add_module(measure)\n"}, "is not named in")

    def test_lengths(self):
        header = GOOD["src/halfarc/measure/index.h"]
        self.expect_only({"src/halfarc/measure/index.h": header + "\n" * 200}, "at most 200")
        self.expect_in_source("\n" * 500, "at most 500")

    def test_headers(self):
        name = "src/halfarc/base/utc.h"
        self.expect_only({name: "#pragma once\n"}, "begin with a comment")
        self.expect_only({name: "// An instant.\n"}, "lacks #pragma once")
        self.expect_only({name: GOOD[name] + "#include <fitsio.h>\n"}, "private library")

    def test_library(self):
        self.expect_in_source('void f() { std::cout << "x"; }', "prints nothing")
        self.expect_in_source("std::normal_distribution<double> d;", "base/random.h")
        self.expect_in_source("void f() { std::exit(1); }", "never ends the program")
        self.expect_in_source("auto t = std::chrono::system_clock::now();", "time is passed in")
        clock = "auto t = std::chrono::system_clock::now();\n"
        both = {
            "src/halfarc/base/utc.cpp": clock,
            "src/halfarc/base/CMakeLists.txt": "halfarc_add_module(base SOURCES utc.cpp)\n",
            "tests/base/utc_test.cpp": "\n",
        }
        self.assertEqual(faults_of(both), (0, []))

    def test_words(self):
        self.expect_in_source("// see /" + "home/me/notes", "a path of one machine")
        self.expect_in_source("// TODO later", "unfinished")
        self.expect_only({"README.md": "The center of the disc.\n"}, "British spelling")

    def test_bibliography(self):
        self.expect_in_source("// [Fried1966]", "[Fried1966] is not in")
        unused = GOOD["docs/bibliography.md"] + "- [Roddier1981] F. Roddier.\n"
        self.expect_only({"docs/bibliography.md": unused}, "[Roddier1981] is cited nowhere")
        used = {"src/halfarc/measure/index.cpp": GOOD["src/halfarc/measure/index.cpp"] + "// [Fried1966]\n"}
        unsorted = GOOD["docs/bibliography.md"] + "- [Fried1966] D. L. Fried.\n"
        self.expect_only({**used, "docs/bibliography.md": unsorted}, "sort the keys")


if __name__ == "__main__":
    unittest.main()
