#!/usr/bin/env python3
"""Shows that dependencies.py names a dependency that points the wrong way, and passes right ones."""
import unittest

from dependencies import offences


def line(library, *others):
    return f"{library}=" + ";".join(f"/x/include-roots/{name}" for name in (library, *others)) + ";/usr/include/other\n"


class Dependencies(unittest.TestCase):
    def test_right_dependencies_pass(self):
        self.assertEqual(list(offences([line("firmware_logic"), line("hal_mock", "firmware_hal", "firmware_math"),
                                        line("sim_rig", "sim_plant", "hal_mock", "firmware_controller")])), [])

    def test_wrong_dependencies_are_named(self):
        for library, other in [("firmware_logic", "firmware_settings"), ("firmware_controller", "hal_mock"),
                               ("firmware_controller", "sim_plant"), ("hal_mock", "firmware_settings"),
                               ("hal_mock", "sim_plant"), ("sim_plant", "firmware_hal"), ("sim_plant", "hal_mock"),
                               ("sim_machine", "firmware_logic"), ("sim_machine", "sim_rig"), ("sim_rig", "sim_machine"), ("sim_cycle", "sim_app")]:
            self.assertEqual(list(offences([line(library, other)])), [f"{library}: must not see {other}"])

    def test_a_library_without_a_rule_is_named(self):
        self.assertIn("no rule", next(offences([line("gadget")])))

    def test_a_list_without_include_roots_is_no_pass(self):
        self.assertIn("does not even see itself", next(offences(["sim_plant=/usr/include\n"])))


if __name__ == "__main__":
    unittest.main()
