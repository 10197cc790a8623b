#!/usr/bin/env python3
"""Shows that run.sh sets up once, says what it cannot do, and knows the commands the guides name.

run.sh is copied to a folder with a space in its name, and package manager and CMake are stand-ins
that write down how they were called.
"""
import os
import re
import shutil
import subprocess
import tempfile
import unittest

ROOT = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..")
STAND_INS = {
    "dpkg-query": 'cat "$STATE/installed" 2>/dev/null; exit 1',
    "apt-get": 'echo "apt-get $*" >>"$STATE/calls"; if [ -n "$APT_FAILS" ]; then echo "no such mirror"; exit 100; fi\n'
               'for word; do [ "$word" = update ] || echo "ii  $word" >>"$STATE/installed"; done',
    "cmake": 'echo "cmake $*" >>"$STATE/calls"\n'
             'if [ "$1" = --preset ]; then\n'
             '  mkdir -p "build/$2"; touch "build/$2/build.ninja"\n'
             '  case "$*" in *TESTS=OFF*) on=OFF;; *) on=ON;; esac; echo "OVENPROOF_TESTS:BOOL=$on" >"build/$2/CMakeCache.txt"\n'
             'else\n'
             '  printf \'#!/bin/sh\\necho "program $*"\\n\' >"$2/ovenproof"; chmod +x "$2/ovenproof"\n'
             'fi',
    "npm": 'echo "npm $*" >>"$STATE/calls"',
    "node": 'exit 0',
    "ctest": 'echo "ctest $*" >>"$STATE/calls"; [ -z "$CTEST_FAILS" ]',
}


class RunSh(unittest.TestCase):
    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.state = os.path.join(scratch.name, "state")
        self.tree = os.path.join(scratch.name, "a clone")
        tools = os.path.join(scratch.name, "tools")
        for folder in (self.state, self.tree, tools):
            os.mkdir(folder)
        shutil.copy(os.path.join(ROOT, "run.sh"), self.tree)
        os.makedirs(os.path.join(self.tree, "tests", "evidence"))
        for name in ("package.json", "package-lock.json"):
            shutil.copy(os.path.join(ROOT, "tests", "evidence", name), os.path.join(self.tree, "tests", "evidence"))
        for name, script in STAND_INS.items():
            with open(os.path.join(tools, name), "w") as file:
                file.write(f"#!/bin/sh\n{script}\n")
            os.chmod(file.name, 0o755)
        for folder in (scratch.name, self.state, self.tree, tools):
            os.chmod(folder, 0o777)  # a run without root writes here, too
        self.environment = {"PATH": f"{tools}:/usr/bin:/bin", "STATE": self.state, "LC_ALL": "C"}

    def run_sh(self, *arguments, prefix=(), **environment):
        """Returns (exit status, standard output, standard error, calls of the stand-ins)."""
        calls = os.path.join(self.state, "calls")
        open(calls, "w").close()
        os.chmod(calls, 0o666)
        done = subprocess.run([*prefix, os.path.join(self.tree, "run.sh"), *arguments], cwd="/", text=True,
                              capture_output=True, env=self.environment | environment, stdin=subprocess.DEVNULL)
        with open(calls) as file:
            return done.returncode, done.stdout, done.stderr, file.read().splitlines()

    def need_root(self):
        if os.geteuid() != 0:
            self.skipTest("needs root, as installing does")

    def test_help_goes_to_standard_output_and_needs_nothing(self):
        status, out, _, calls = self.run_sh("help")
        self.assertEqual((status, calls), (0, []))
        self.assertIn("usage:", out)

    def test_no_command_and_a_wrong_one_give_the_usage_as_an_error(self):
        # `ovenproof prove` is something else: run.sh has no command of that name.
        for arguments in ([], ["bake"], ["--version"], ["prove"]):
            status, out, error, calls = self.run_sh(*arguments)
            self.assertEqual((status, out, calls), (2, "", []), arguments)
            self.assertIn("usage:", error)

    def test_it_may_be_called_through_a_link(self):
        link = os.path.join(self.state, "oven")
        os.symlink(os.path.join(self.tree, "run.sh"), link)
        self.need_root()
        self.assertEqual(self.run_sh("build")[0], 0)
        subprocess.run([link, "build"], check=True, env=self.environment, capture_output=True, cwd=self.state)
        self.assertFalse(os.path.exists(os.path.join(self.state, "build")))

    def test_superfluous_arguments_are_refused_before_anything_is_done(self):
        for arguments in (["demo", "x"], ["build", "x"], ["test", "--fast"]):
            status, _, error, calls = self.run_sh(*arguments)
            self.assertEqual((status, calls), (2, []), arguments)
            self.assertIn(arguments[0], error)

    def test_the_first_call_sets_up_and_the_second_does_not(self):
        self.need_root()
        status, out, error, calls = self.run_sh("demo")
        self.assertEqual(status, 0, error)
        machine = r"scenarios/machines/\S+\.yaml"
        self.assertRegex(
            out, rf"^program run {machine}\n\nprogram evidence --scenarios scenarios/cases --out build/evidence/\S+ {machine}\n$")
        self.assertEqual([call.split()[0] for call in calls], ["apt-get", "apt-get", "cmake", "cmake"])
        self.assertIn("-y", calls[1])
        self.assertIn("libboost1.81-dev", calls[1])
        self.assertNotIn("libsundials-dev", calls[1], "the main job needs no library of the tests")
        status, _, _, calls = self.run_sh("demo")
        self.assertEqual(status, 0)
        self.assertEqual([call.split()[1] for call in calls], ["--build"])

    def test_testing_after_the_demo_adds_what_only_tests_need(self):
        self.need_root()
        self.run_sh("demo")
        status, _, error, calls = self.run_sh("test")
        self.assertEqual(status, 0, error)
        self.assertIn("libsundials-dev", calls[1])
        self.assertNotIn("libboost1.81-dev", calls[1])
        self.assertIn("cmake --preset release", calls)
        self.assertEqual(calls[-1].split()[0], "ctest")
        self.assertEqual([call.split()[1] for call in calls if call.startswith("npm")], ["ci"])
        again = self.run_sh("test")[3]
        self.assertEqual({call.split()[1] for call in again}, {"--build", "--test-dir"}, "nothing is set up twice")

    def test_only_what_is_missing_is_installed(self):
        self.need_root()
        with open(os.path.join(self.state, "installed"), "w") as file:
            file.write("ii  cmake\nrc  g++\n")
        calls = self.run_sh("demo")[3]
        self.assertNotIn(" cmake", calls[1])
        self.assertIn(" g++", calls[1], "removed but configured is not installed")

    def test_without_root_it_says_what_to_install(self):
        prefix = ("setpriv", "--reuid=65534", "--clear-groups") if os.geteuid() == 0 else ()
        status, _, error, calls = self.run_sh("demo", prefix=prefix)
        self.assertEqual((status, calls), (2, []))
        self.assertRegex(error, r"sudo apt-get install .*\bninja-build\b")

    def test_a_failed_installation_shows_why(self):
        self.need_root()
        status, _, error, calls = self.run_sh("test", APT_FAILS="1")
        self.assertEqual((status, len(calls)), (2, 1))
        self.assertIn("no such mirror", error)

    def test_failed_tests_fail_the_command(self):
        self.need_root()
        self.assertEqual(self.run_sh("test")[0], 0)
        self.assertNotEqual(self.run_sh("test", CTEST_FAILS="1")[0], 0)

    def test_sanitizers_get_their_own_builds_and_tests(self):
        self.need_root()
        calls = self.run_sh("test", "--sanitize")[3]
        tested = [call.split()[2] for call in calls if call.startswith("ctest")]
        self.assertEqual(tested, ["build/release", "build/asan-ubsan", "build/tsan"])

    def test_every_command_that_the_guides_name_is_in_the_help(self):
        known = re.findall(r"^  (\w+) ", self.run_sh("help")[1], re.MULTILINE)
        for guide in ("README.md", "DEVELOPERS.md", ".ci/run"):
            with open(os.path.join(ROOT, guide), encoding="utf-8") as file:
                named = set(re.findall(r"run\.sh (\w+)", file.read()))
            self.assertTrue(named, guide)
            self.assertLessEqual(named, set(known), guide)


if __name__ == "__main__":
    unittest.main()
