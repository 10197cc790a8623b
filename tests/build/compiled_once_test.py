#!/usr/bin/env python3
"""Shows that a second object of the firmware is noticed."""
import unittest

from compiled_once import faults


def compiled(source, output, options="-O2"):
    return {"directory": "/b", "file": f"/s/{source}", "command": f"c++ {options} -o {output} -c /s/{source}"}


ONCE = [compiled("firmware/logic/trips.cpp", "firmware/logic/trips.o"),
        compiled("sim/rig/rig.cpp", "sim/rig/rig.o"), compiled("sim/rig/rig.cpp", "again/rig.o")]


class CompiledOnce(unittest.TestCase):
    def test_one_object_of_each_source_passes(self):
        self.assertEqual(faults(ONCE, "/s/firmware"), [])

    def test_a_copy_for_tests_does_not_count(self):
        self.assertEqual(faults([*ONCE, compiled("firmware/logic/trips.cpp", "tests/build/trips.o")], "/s/firmware"), [])

    def test_a_second_object_is_named(self):
        wrong = faults([*ONCE, compiled("firmware/logic/trips.cpp", "across/trips.o")], "/s/firmware")
        self.assertEqual(wrong, ["logic/trips.cpp is compiled 2 times: across/trips.o, firmware/logic/trips.o"])

    def test_link_time_optimisation_is_refused(self):
        wrong = faults([compiled("firmware/logic/trips.cpp", "firmware/logic/trips.o", "-O2 -flto=auto")], "/s/firmware")
        self.assertEqual(len(wrong), 1)
        self.assertIn("logic/trips.cpp", wrong[0])

    def test_nothing_compiled_is_no_pass(self):
        self.assertEqual(len(faults([], "/s/firmware")), 1)


if __name__ == "__main__":
    unittest.main()
