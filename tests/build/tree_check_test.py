#!/usr/bin/env python3
"""Shows that tree_check.py names the rule that a bad tree breaks, and passes a good tree."""
import os
import shutil
import subprocess
import sys
import tempfile
import unittest

HERE = os.path.dirname(os.path.abspath(__file__))
CLANG_FORMAT = os.environ.get("CLANG_FORMAT", "")

GOOD = {
    "CMakeLists.txt": "add_subdirectory(firmware)\n",
    "firmware/CMakeLists.txt": "library(one SOURCES one.cpp part/two.cpp)\n",
    "firmware/one.hpp": "#pragma once\nint one();\n",
    "firmware/one.cpp": '#include "firmware/one.hpp"\n\nint one() { return 1; }\n',
    "firmware/part/two.cpp": '#include "firmware/one.hpp"\n\nint two() { return 2 * one(); }\n',
    "tests/tool.py": "print(1)\n",
    "tests/CMakeLists.txt": "add_test(tool python3 ${PROJECT_SOURCE_DIR}/tests/tool.py)\n",
}


class TreeCheck(unittest.TestCase):
    def offences(self, changes):
        with tempfile.TemporaryDirectory() as root:
            shutil.copy(os.path.join(HERE, "../../.clang-format"), root)
            for path, text in (GOOD | changes).items():
                os.makedirs(os.path.dirname(os.path.join(root, path)) or root, exist_ok=True)
                with open(os.path.join(root, path), "w", encoding="utf-8") as file:
                    file.write(text)
            done = subprocess.run(
                [sys.executable, os.path.join(HERE, "tree_check.py"), root, "--clang-format", CLANG_FORMAT],
                capture_output=True, text=True)
            self.assertEqual(done.returncode, 1 if done.stdout else 0, done.stderr)
            return [line.split(": ")[:2] for line in done.stdout.splitlines()]

    def test_a_good_tree_passes(self):
        self.assertEqual(self.offences({}), [])

    def test_an_include_that_climbs_is_named(self):
        text = '#include "../firmware/one.hpp"\n\nint two() { return 2 * one(); }\n'
        self.assertEqual(self.offences({"firmware/part/two.cpp": text}), [["firmware/part/two.cpp:1", "include-path"]])

    def test_a_source_that_is_not_built_is_named(self):
        self.assertEqual(self.offences({"firmware/part/three.cpp": "int three() { return 3; }\n"}),
                         [["firmware/part/three.cpp:1", "unused"]])

    def test_a_source_named_in_a_comment_only_is_not_built(self):
        lists = {"firmware/CMakeLists.txt": "library(one SOURCES one.cpp) # part/two.cpp\n"}
        self.assertEqual(self.offences(lists), [["firmware/part/two.cpp:1", "unused"]])

    def test_a_source_is_not_excused_by_a_longer_name(self):
        lists = {"firmware/CMakeLists.txt": "library(one SOURCES part/one.cpp part/two.cpp)\n"}
        self.assertEqual(self.offences(lists), [["firmware/one.cpp:1", "unused"]])

    def test_a_script_that_is_not_run_is_named(self):
        self.assertEqual(self.offences({"tests/other.py": "print(2)\n"}), [["tests/other.py:1", "unused"]])

    def test_a_header_that_is_not_included_is_named(self):
        self.assertEqual(self.offences({"firmware/alone.hpp": "#pragma once\nint alone();\n"}),
                         [["firmware/alone.hpp:1", "unused"]])

    def test_a_header_without_a_guard_is_named(self):
        self.assertEqual(self.offences({"firmware/one.hpp": "int one();\n"}), [["firmware/one.hpp:1", "pragma-once"]])

    def test_unfinished_work_is_named(self):
        for word in ("TO" "DO", "FIX" "ME", "XX" "X", "HA" "CK", "not imple" "mented"):
            self.assertEqual(self.offences({"docs/plan.md": f"first line\n{word}: more\n"}),
                             [["docs/plan.md:2", "unfinished"]], word)

    def test_a_test_name_that_ctest_cannot_carry_is_named(self):
        text = 'TEST_CASE("one, two") { f(); }\nTEST_CASE(\n    "one; two") {}\n'
        lists = {"tests/CMakeLists.txt": "add_test(tool tool.py) add_executable(one one.cpp)\n"}
        with_name = lists | {"tests/one.cpp": text, ".clang-format": "DisableFormat: true\n"}
        self.assertEqual(self.offences(with_name), [["tests/one.cpp:2", "test-name"]])

    def test_450_lines_pass_and_451_do_not(self):
        comment = "// one\n"
        self.assertEqual(self.offences({"firmware/one.hpp": "#pragma once\n" + comment * 449}), [])
        self.assertEqual(self.offences({"firmware/one.hpp": "#pragma once\n" + comment * 450}),
                         [["firmware/one.hpp:451", "length"]])

    @unittest.skipUnless(CLANG_FORMAT, "no clang-format")
    def test_a_source_in_another_format_is_named(self):
        text = '#include "firmware/one.hpp"\n\nint   one() { return 1; }\n'
        self.assertEqual(self.offences({"firmware/one.cpp": text}), [["firmware/one.cpp:3", "format"]])

    @unittest.skipUnless(CLANG_FORMAT, "no clang-format")
    def test_a_broken_format_file_is_no_pass(self):
        self.assertEqual(self.offences({".clang-format": "BasedOnStyle: Nonsense\n"}), [[".clang-format:1", "format"]])


if __name__ == "__main__":
    unittest.main()
