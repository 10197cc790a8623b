#!/usr/bin/env python3
"""Tries the check of caught cells with a stand-in program: a list that is not true must fail."""
import contextlib
import io
import json
import sys
import tempfile
import unittest
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))
sys.dont_write_bytecode = True

import check_caught  # noqa: E402
from kinds import CELL, FIRST_LINE  # noqa: E402

# Kills as told in kills.json: [defect, beside, item, own beginning, alone].
STAND_IN = """#!{python}
import json, os, sys
kills = json.load(open(os.path.join(os.path.dirname(os.path.abspath(__file__)), "kills.json")))
print(json.dumps({{"items": ["a [phase=ramp]", "b: c"]}}), flush=True)
for line in sys.stdin:
    order = json.loads(line)
    key = [order["defect"], order.get("beside", 0), order["items"][0], order["own_beginning"][0],
           order.get("alone", False)]
    print(json.dumps({{"end": "killed" if key in kills else "survived"}}), flush=True)
"""


class CheckCaughtTest(unittest.TestCase):
    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.folder = Path(scratch.name)
        place = lambda number, kind, what: {"number": number, "kind": kind, "what": what}
        self.places = [place(1, CELL, "door / fan"), place(2, CELL, "door / k1"), place(3, CELL, "power / k1"),
                       place(4, CELL, "estop / k2"), place(5, CELL, "fan / k1"), place(9, *FIRST_LINE)]
        self.kills = [[1, 0, 0, False, False], [2, 9, 1, False, False], [4, 0, 1, True, False], [5, 9, 0, False, True]]
        self.redundant = "power / k1: born with it\n"
        self.caught = ("[alone]\ndoor / fan: a [phase=ramp]\nestop / k2: b: c\n"
                       "[where the sequence does not follow trips]\ndoor / k1: b: c\n"
                       "[where, besides, no row of the other kind withholds anything]\nfan / k1: a [phase=ramp]\n")

    def run_check(self):
        def write(name, text):
            (self.folder / name).write_text(text, encoding="utf-8")
            return str(self.folder / name)
        program = write("program", STAND_IN.format(python=sys.executable))
        Path(program).chmod(0o755)
        write("kills.json", json.dumps(self.kills))
        out, errors = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(errors):
            status = check_caught.main(["--program", program, "--places", write("places.json", json.dumps(self.places)),
                                        "--redundant", write("redundant.txt", self.redundant),
                                        "--caught", write("caught.txt", self.caught), "scenarios"])
        return status, out.getvalue(), errors.getvalue()

    def fails_with(self, text):
        status, out, _ = self.run_check()
        self.assertEqual(status, 1)
        self.assertIn(text, out)

    def test_a_true_list_passes(self):
        status, out, _ = self.run_check()
        self.assertEqual((status, out), (0, "4 cleared cells caught by their cases, 1 redundant, 0 wrong\n"))

    def test_only_the_scenarios_that_are_played_are_read(self):
        for name in ("a.yaml", "b.yaml", "b_more.yaml", "deep/a.yaml", "a.txt"):
            (self.folder / name).parent.mkdir(exist_ok=True)
            (self.folder / name).touch()
        found = check_caught.files_of(["a [phase=ramp]", "b"], [str(self.folder)])
        self.assertEqual([str(file.relative_to(self.folder)) for file in found], ["a.yaml", "b.yaml", "deep/a.yaml"])
        self.assertEqual(check_caught.files_of(["b"], [str(self.folder / "b.yaml")]), [self.folder / "b.yaml"])

    def test_a_case_that_does_not_fail_is_told(self):
        for kill, cell in enumerate(("door / fan: a [phase=ramp]", "door / k1: b: c", "estop / k2: b: c", "fan / k1: a [phase=ramp]")):
            with self.subTest(cell):
                kills, self.kills = self.kills, [k for i, k in enumerate(self.kills) if i != kill]
                self.fails_with(f"{cell} does not fail with it cleared: survived")
                self.kills = kills

    def test_what_is_caught_only_behind_the_first_line_is_not_caught_alone(self):
        self.caught = "[alone]\ndoor / fan: a [phase=ramp]\nestop / k2: b: c\ndoor / k1: b: c\n"
        self.fails_with("door / k1: b: c does not fail with it cleared")

    def test_every_cell_must_be_listed(self):
        self.redundant = ""
        self.fails_with("power / k1: neither caught nor redundant")

    def test_no_cell_may_be_listed_twice(self):
        self.redundant += "door / fan: no reason\n"
        self.fails_with("door / fan: both caught and redundant")

    def test_what_is_listed_must_exist(self):
        self.redundant += "door / k9: no such output\n"
        self.fails_with("door / k9: there is no such cell")
        self.caught = self.caught.replace("a [phase=ramp]", "a [phase=soak]")
        self.fails_with("door / fan: there is no case a [phase=soak]")

    def test_a_list_that_cannot_be_read_is_refused_with_its_place(self):
        for text, number in (("door / fan: b: c\n", 1), ("[alone]\ndoor / fan\n", 2),
                             ("[alone]\ndoor / fan: b: c\ndoor / fan: b: c\n", 3), ("[else]\n", 1)):
            with self.subTest(text):
                self.caught = text
                status, _, errors = self.run_check()
                self.assertEqual(status, 2)
                self.assertIn(f"caught.txt:{number}: expected", errors)


if __name__ == "__main__":
    unittest.main()
