#!/usr/bin/env python3
"""Checks the rules of the tree that no compiler sees (ARCHITECTURE.md, CONTRIBUTING.md).

One line a fault; exit 1 if there is any.

Usage: tools/check_tree.py [ROOT]
"""

import re
import sys
from pathlib import Path

KNOWS = {
    "base": set(),
    "sky": {"base"},
    "air": {"base"},
    "optics": {"base"},
    "frames": {"base"},
    "measure": {"base", "air", "optics", "frames"},
    "restore": {"base", "air", "optics", "frames"},
    "simulate": {"base", "sky", "air", "optics", "frames"},
    "budget": {"base", "sky", "air", "optics", "frames", "measure", "restore", "simulate"},
    "advise": {"base", "air", "optics", "measure", "budget"},
    "logbook": {"base"},
    "report": {"base"},
    "app": {"base", "sky", "air", "optics", "frames", "measure", "restore", "simulate", "budget", "advise", "logbook",
            "report"},
    "server": {"base", "app"},
}

# Sources whose header no test of their module includes, each with the test that reaches them.
TESTED_THROUGH = {
    "src/halfarc/app/asked.cpp": "tests/whole/plan_test.py",
    "src/halfarc/app/check_document.cpp": "tests/whole/check_test.py",
    "src/halfarc/app/clip_picture.cpp": "tests/whole/serve_test.py",
    "src/halfarc/app/here.cpp": "tests/whole/init_test.py",
    "src/halfarc/app/image_files.cpp": "tests/whole/make_test.py",
    "src/halfarc/app/image_shelf.cpp": "tests/whole/serve_test.py",
    "src/halfarc/app/log_asked.cpp": "tests/whole/serve_test.py",
    "src/halfarc/app/night_findings.cpp": "tests/app/rehearse_test.cpp",
    "src/halfarc/frames/fits_image.cpp": "tests/frames/image_writers_test.cpp",
    "src/halfarc/frames/png_image.cpp": "tests/frames/image_writers_test.cpp",
    "src/halfarc/frames/recording.cpp": "tests/frames/open_recording_test.cpp",
    "src/halfarc/frames/tiff_image.cpp": "tests/frames/image_writers_test.cpp",
    "src/halfarc/frames/video_decoder.cpp": "tests/frames/video_test.cpp",
    "src/halfarc/frames/video_pixels.cpp": "tests/frames/video_test.cpp",
    "src/halfarc/measure/cells.cpp": "tests/measure/index_test.cpp",
    "src/halfarc/server/clip_desk.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/connection.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/connection_threads.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/lan_address.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/listener.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/routes_event.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/routes_file.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/routes_hand.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/routes_image.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/routes_job.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/routes_log.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/routes_page.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/routes_recording.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/routes_sky.cpp": "tests/whole/serve_test.py",
    "src/halfarc/server/serving.cpp": "tests/whole/serve_test.py",
    "src/halfarc/sky/moon_offset.cpp": "tests/sky/galilean_test.cpp",
    "src/halfarc/sky/observer.cpp": "tests/sky/place_test.cpp",
    "src/halfarc/sky/rotation.cpp": "tests/sky/disc_test.cpp",
}

LONGEST = {".h": 200, ".cpp": 500}
SKIPPED_FOLDERS = {".git", "build", "out", "node_modules", "__pycache__"}
TEXT_SUFFIXES = {".h", ".cpp", ".md", ".txt", ".cmake", ".py", ".sh", ".json", ".toml", ".ts", ".inc", ""}

MACHINE_PATH = re.compile(r"(?<![\w.])/(work|root|home|tmp)/|\.\./shared|\.library\b")
UNFINISHED = re.compile(r"\b(TODO|FIXME|XXX|HACK)\b")
KEY = re.compile(r"\[([A-Z][A-Za-z]+\d{2,4}[a-z]?|[a-z]\w+(?:19|20)\d\d[a-z]?)\]")
PRIVATE_LIBRARY = re.compile(r'#include [<"](nlohmann|Eigen|fftw3|fitsio|libav|libsw|tbb|png\.h|tiff|erfa|fmt|httplib|qrcodegen)')
NOT_IN_LIBRARY = [
    (re.compile(r"\bstd::(cout|cerr|clog|printf|puts)\b|\bfmt::print\b"), "the library prints nothing: return it"),
    (re.compile(r"\bstd::(\w+_distribution|mt19937|random_device|rand|srand)\b"), "random numbers: base/random.h"),
    (re.compile(r"\bstd::(exit|abort|quick_exit)\b"), "the library never ends the program: return an Error"),
    (re.compile(r"\bsystem_clock\b|\bstd::time\("), "time is passed in (base/utc.h)"),
]
# Headers for the sources of their own module only, which may hold a private library.
PRIVATE_HEADERS = {
    f"src/halfarc/{name}.h"
    for name in ("frames/ffmpeg", "frames/open_fits", "frames/video_decoder", "frames/video_pixels", "measure/least_squares", "server/connection", "server/connection_threads")
}
MAY_ASK_THE_CLOCK = {"src/halfarc/base/utc.cpp"}
# Headers of one system, which only the files that docs/porting.md lists may ask for.
OF_THE_SYSTEM = re.compile(
    r"#include <((?:sys|net|netinet|arpa|linux)/\w+\.h"
    r"|(?:unistd|fcntl|poll|dirent|pwd|ifaddrs|termios|signal|pthread|dlfcn|windows)\.h)>"
)
AMERICAN = re.compile(r"\b(colors?|centers?|centered|behaviors?|grays?|analyz\w+|favorite|meters)\b", re.IGNORECASE)


def files(root):
    """All text files of the tree with their lines, by path relative to the root."""
    found = {}
    for path in sorted(root.rglob("*")):
        relative = path.relative_to(root)
        if SKIPPED_FOLDERS & set(relative.parts) or not path.is_file() or path.suffix not in TEXT_SUFFIXES:
            continue
        try:
            found[relative.as_posix()] = path.read_text(encoding="utf-8").splitlines()
        except UnicodeDecodeError:
            continue
    return found


def is_code(name):
    return name.endswith((".h", ".cpp"))


def module_of(name):
    match = re.match(r"src/halfarc/(\w+)/", name)
    return match.group(1) if match else None


def check_floors(tree):
    for name, lines in tree.items():
        module = module_of(name)
        if module is None or not is_code(name):
            continue
        for number, line in enumerate(lines, 1):
            match = re.match(r'\s*#include "(?:halfarc/(\w+)/)?(?!.*\.inc")', line)  # tables (.inc) lie in data/
            if match and match.group(1) is None:
                yield f'{name}:{number}: include it as "halfarc/<module>/<concept>.h"'
            elif match and match.group(1) not in KNOWS.get(module, set()) | {module}:
                yield f"{name}:{number}: {module} may not know {match.group(1)}"


def check_mirror(tree):
    """Every source has a test of its name, or a test of its module or a published check includes its header."""
    for name in tree:
        module = module_of(name)
        if module is None or not name.endswith(".cpp") or name in TESTED_THROUGH:
            continue
        stem = Path(name).stem
        wanted = f'#include "halfarc/{module}/{stem}.h"'
        tests = [t for t in tree if t.startswith((f"tests/{module}/", "tests/published/")) and t.endswith("_test.cpp")]
        if f"tests/{module}/{stem}_test.cpp" not in tests and not any(wanted in tree[t] for t in tests):
            yield f"{name}: has no tests/{module}/{stem}_test.cpp"
    for name, test in TESTED_THROUGH.items():
        if name in tree and test not in tree:
            yield f"{name}: was tested through {test}, which is not there"


def check_built(tree):
    for name in tree:
        folder = str(Path(name).parent)
        listing = f"{folder}/CMakeLists.txt"
        if not name.endswith(".cpp") or listing not in tree:
            continue
        if not re.search(rf"\b{Path(name).stem}\b", " ".join(tree[listing])):
            yield f"{name}: is not named in {listing}"


def check_lengths(tree):
    for name, lines in tree.items():
        longest = LONGEST.get(Path(name).suffix)
        if longest and len(lines) > longest:
            yield f"{name}: {len(lines)} lines; at most {longest}, one concept a file"


def check_headers(tree):
    for name, lines in tree.items():
        if not name.startswith("src/halfarc/") or not name.endswith(".h"):
            continue
        if not lines or not lines[0].startswith("// "):
            yield f"{name}:1: begin with a comment that says what it is"
        if "#pragma once" not in lines:
            yield f"{name}: lacks #pragma once"
        for number, line in enumerate(lines, 1):
            if PRIVATE_LIBRARY.search(line) and name not in PRIVATE_HEADERS:
                yield f"{name}:{number}: a private library in a public header"
            included = re.match(r'#include "(.*)"', line)
            if included and f"src/{included.group(1)}" in PRIVATE_HEADERS and name not in PRIVATE_HEADERS:
                yield f"{name}:{number}: a header for sources only"


def check_types(tree):
    """One name, one type: two types of one name link into one program, and then share what the compiler made of either."""
    homes = {}
    for name, lines in tree.items():
        if not name.startswith("src/halfarc/") or not is_code(name):
            continue
        spaces = []
        for number, line in enumerate(lines, 1):
            if match := re.match(r"namespace (?:([\w:]+) )?\{", line):
                spaces.append(match.group(1) or "")
            elif re.match(r"\}  // namespace", line) and spaces:
                spaces.pop()
            elif (match := re.match(r"(?:struct|class|enum class) ([\w:]+)(?: [^;]*)?\{", line)) and "" not in spaces:
                homes.setdefault("::".join([*spaces, match.group(1)]), []).append(f"{name}:{number}")
    for full, places in homes.items():
        if len(places) > 1:
            yield f"{places[1]}: {full} is also defined in {places[0]}"


def check_library(tree):
    for name, lines in tree.items():
        if module_of(name) is None or not is_code(name):
            continue
        for number, line in enumerate(lines, 1):
            code = line.split("//")[0]
            for pattern, says in NOT_IN_LIBRARY:
                if pattern.search(code) and not ("time" in says and name in MAY_ASK_THE_CLOCK):
                    yield f"{name}:{number}: {says}"


def check_system(tree):
    """What depends on the system stands in the files that docs/porting.md lists, and the list names no other."""
    home = "docs/porting.md"
    listed = {m.group(1) for line in tree.get(home, []) if (m := re.match(r"\| `([\w/]+\.cpp)` \|", line))}
    used = {}
    for name, lines in tree.items():
        if not is_code(name) or not name.startswith(("src/", "cli/")):
            continue
        for number, line in enumerate(lines, 1):
            if match := OF_THE_SYSTEM.match(line):
                used.setdefault(name.removeprefix("src/halfarc/"), (f"{name}:{number}", match.group(1)))
    for name in sorted(set(used) - listed):
        yield f"{used[name][0]}: <{used[name][1]}> is of one system: use what {home} lists, or list the file there"
    for name in sorted(listed - set(used)):
        yield f"{home}: {name} asks nothing of the system"


def check_words(tree):
    for name, lines in tree.items():
        if name in ("tools/check_tree.py", "tests/tree/check_tree_test.py", "LICENSE"):
            continue
        for number, line in enumerate(lines, 1):
            if MACHINE_PATH.search(line):
                yield f"{name}:{number}: a path of one machine"
            if UNFINISHED.search(line):
                yield f"{name}:{number}: unfinished"
            if name.endswith(".md") and AMERICAN.search(line):
                yield f'{name}:{number}: British spelling, not "{AMERICAN.search(line).group(0)}"'


def check_bibliography(tree):
    home = "docs/bibliography.md"
    listed = [m.group(1) for line in tree.get(home, []) if (m := re.match(r"- \[(\w+)\] ", line))]
    cited = {}
    for name, lines in tree.items():
        if name == home or not is_code(name) and not name.endswith((".md", ".py", ".inc")) or name.startswith("tests/tree/"):
            continue
        for number, line in enumerate(lines, 1):
            for key in KEY.findall(line):
                cited.setdefault(key, f"{name}:{number}")
    for key in sorted(set(cited) - set(listed)):
        yield f"{cited[key]}: [{key}] is not in {home}"
    for key in sorted(set(listed) - set(cited)):
        yield f"{home}: [{key}] is cited nowhere"
    if listed != sorted(set(listed)):
        yield f"{home}: sort the keys, each once"


CHECKS = [
    check_floors,
    check_mirror,
    check_built,
    check_lengths,
    check_headers,
    check_types,
    check_library,
    check_system,
    check_words,
    check_bibliography,
]


def main(arguments):
    root = Path(arguments[0]) if arguments else Path(__file__).resolve().parent.parent
    tree = files(root)
    faults = [fault for check in CHECKS for fault in check(tree)]
    print("\n".join(faults) if faults else f"{len(tree)} files, no faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
