#!/usr/bin/env python3
"""Shows that same_trace.py notices differing, failing and absent builds, with stand-in programs."""
import os
import subprocess
import sys
import tempfile
import unittest

CHECK = os.path.join(os.path.dirname(os.path.abspath(__file__)), "same_trace.py")


class SameTrace(unittest.TestCase):
    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.folder = scratch.name

    def program(self, name, trace="t,x\n0,1\n", result="{}", status=0):
        """A program that takes `run MACHINE --json --trace FILE` and writes what it is told."""
        path = os.path.join(self.folder, name)
        with open(path, "w") as file:
            file.write(f"#!/bin/sh\nprintf '{trace}' > \"$5\"\nprintf '{result}'\nexit {status}\n")
        os.chmod(path, 0o755)
        return path

    def compare(self, one, other):
        done = subprocess.run([sys.executable, CHECK, one, other, "oven.yaml"], capture_output=True, text=True)
        return done.returncode, done.stdout + done.stderr

    def test_equal_builds_pass(self):
        self.assertEqual(self.compare(self.program("a"), self.program("b"))[0], 0)

    def test_one_differing_digit_of_the_trace_is_found(self):
        status, output = self.compare(self.program("a"), self.program("b", trace="t,x\n0,2\n"))
        self.assertEqual(status, 1)
        self.assertIn("trace differs from line 2", output)

    def test_a_trace_that_ends_early_is_found(self):
        status, output = self.compare(self.program("a"), self.program("b", trace="t,x\n"))
        self.assertEqual(status, 1)
        self.assertIn("trace differs from line 2", output)

    def test_a_differing_result_is_found(self):
        status, output = self.compare(self.program("a"), self.program("b", result="[]"))
        self.assertEqual(status, 1)
        self.assertIn("result differs", output)

    def test_two_empty_traces_are_no_pass(self):
        self.assertEqual(self.compare(self.program("a", trace=""), self.program("b", trace=""))[0], 1)

    def test_a_failing_run_is_no_pass(self):
        self.assertEqual(self.compare(self.program("a"), self.program("b", status=1))[0], 1)

    def test_an_absent_build_is_not_tested(self):
        self.assertEqual(self.compare(self.program("a"), os.path.join(self.folder, "absent"))[0], 77)


if __name__ == "__main__":
    unittest.main()
