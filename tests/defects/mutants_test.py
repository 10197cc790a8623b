#!/usr/bin/env python3
"""Runs mutants.py with a stand-in for the prover and shows that it counts what is noticed, what is
equivalent and what survives, that it goes on where it was interrupted, and that its list stays true."""
import contextlib
import io
import json
import os
import sys
import tempfile
import unittest
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.dont_write_bytecode = True

import mutants  # noqa: E402

STAND_IN = """#!/usr/bin/env python3
import json, os, sys
folder, machine = os.path.dirname(os.path.abspath(__file__)), sys.argv[1]
answers = json.load(open(os.path.join(folder, "answers.json")))
print(json.dumps({"states": 1}), flush=True)
for line in sys.stdin:
    order = json.loads(line)
    with open(os.path.join(folder, "asked"), "a") as asked:
        key = f"{machine} {order['defect']}" + "".join(f" {way}" for way in ("brief", "beside") if way in order)
        asked.write(key + "\\n")
    answer = answers.get(key, {"end": "equivalent"})
    if answer["end"] == "dies":
        sys.exit(1)
    print(json.dumps({**answer, "defect": order["defect"]}), flush=True)
"""
REFUTED = {"end": "refuted", "by": "REQ-A", "depth": 7}
SURVIVED = {"end": "survived", "differs": "in standby: fan off -> on", "dead": ["x -> y"]}


def place(number, what, file="firmware/logic/a.cpp"):
    return {"number": number, "kind": "! flipped", "file": file, "line": 3, "column": 1, "what": what}


class Mutants(unittest.TestCase):
    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.folder = Path(scratch.name)
        program = self.folder / "mutants"
        program.write_text(STAND_IN, encoding="utf-8")
        program.chmod(0o755)
        self.places = [place(1, "!a"), place(2, "!b"), place(3, "!c", "firmware/control/pid.cpp")]
        self.answers, self.accepted = {}, ""

    def run_it(self, *more):
        (self.folder / "answers.json").write_text(json.dumps(self.answers), encoding="utf-8")
        (self.folder / "places.json").write_text(json.dumps(self.places), encoding="utf-8")
        (self.folder / "accepted.txt").write_text(self.accepted, encoding="utf-8")
        asked = self.folder / "asked"
        asked.write_text("", encoding="utf-8")
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = mutants.main(["--program", str(self.folder / "mutants"), "--places", str(self.folder / "places.json"),
                                   "--accepted", str(self.folder / "accepted.txt"), "--work", str(self.folder / "work"),
                                   "--jobs", "1", "--machines", "3", *more])
        self.asked = asked.read_text(encoding="utf-8").split("\n")[:-1]
        return status, out.getvalue(), err.getvalue()

    def test_refuted_and_equivalent(self):
        self.answers["0 1"] = REFUTED
        status, out, _ = self.run_it()
        self.assertEqual(status, 0)
        self.assertIn("2 defects: 1 noticed, 1 equivalent, 0 accepted with a reason, 0 survive, 0 broken", out)
        self.assertIn("Refuted by: REQ-A 1", out)
        # What is noticed is not asked again; what is equivalent must be so on every machine.
        self.assertEqual(self.asked, ["0 1", "0 2", "1 2", "2 2"])

    def test_noticed_on_another_machine(self):
        self.answers.update({"0 1": SURVIVED, "2 1": REFUTED})
        status, out, _ = self.run_it()
        self.assertEqual(status, 0)
        self.assertIn("1 noticed, 1 equivalent", out)

    def test_what_stands_behind_the_sequence_is_tried_without_it(self):
        first_line = place(7, "CycleMachine -> TrippedState on Protect: transition lost")
        self.places = [{**first_line, "kind": "guard of a transition forced"},
                       *({**place(number, f"row / {number}"), "kind": "matrix cell cleared"} for number in range(1, 5))]
        self.answers.update({"0 7": REFUTED, "0 1 brief": {"end": "unnoticed"}, "0 1 beside": REFUTED,
                             "0 2 brief": {"end": "unnoticed"}, "0 2 beside": {"end": "survived"},
                             "0 3 brief": REFUTED, "2 4": REFUTED})
        for machine in range(3):
            self.answers[f"{machine} 2"] = SURVIVED
        status, out, _ = self.run_it()
        self.assertEqual(status, 1)
        self.assertEqual(self.asked, ["0 1 brief", "0 2 brief", "0 3 brief", "0 4 brief", "0 1 beside", "0 2 beside",
                                      "0 7", "0 2", "0 4", "1 2", "1 4", "2 2", "2 4"])
        self.assertIn("5 defects: 4 noticed, 0 equivalent, 0 accepted with a reason, 1 survive, 0 broken", out)

    def test_a_survivor_fails_and_says_how_it_differs(self):
        self.answers["1 1"] = SURVIVED
        status, out, _ = self.run_it()
        self.assertEqual(status, 1)
        self.assertIn("1 survive", out)
        self.assertIn("[1] logic/a.cpp: ! flipped: !a (line 3)\n    in standby: fan off -> on\n    dead now: x -> y", out)

    def test_a_survivor_with_a_reason_does_not_fail(self):
        self.answers["1 1"] = SURVIVED
        self.accepted = "[no interlock speaks of it]\nlogic/a.cpp: ! flipped: !a\n"
        status, out, _ = self.run_it()
        self.assertEqual(status, 0)
        self.assertIn("1 accepted with a reason, 0 survive", out)

    def test_what_crashes_for_a_reason_does_not_fail(self):
        self.answers.update({f"{machine} 1": {"end": "crashed", "why": "signal"} for machine in range(3)})
        self.accepted = "[the program cannot go on without it]\nlogic/a.cpp: ! flipped: !a\n"
        status, out, _ = self.run_it()
        self.assertEqual(status, 0)
        self.assertIn("1 accepted with a reason", out)
        self.assertIn("(crashed) the program cannot go on without it", out)
        # Nor is it tried again, on other machines or later.
        self.assertEqual(self.asked, ["0 1", "0 2", "1 2", "2 2"])
        self.assertEqual(self.run_it()[0], 0)
        self.assertEqual(self.asked, [])

    def test_a_reason_for_what_is_noticed_or_equivalent_fails(self):
        self.answers["0 1"] = REFUTED
        for name, end in (("logic/a.cpp: ! flipped: !a", "refuted"), ("logic/a.cpp: ! flipped: !b", "equivalent")):
            self.accepted = f"[reason]\n{name}\n"
            status, out, _ = self.run_it()
            self.assertEqual(status, 1)
            self.assertIn(f"FAILED: accepted, but {end}: {name}", out)

    def test_names_without_a_reason_are_refused(self):
        self.accepted = "logic/a.cpp: ! flipped: !a\n"
        status, _, errors = self.run_it()
        self.assertEqual(status, 2)
        self.assertIn("accepted.txt:1: expected", errors)

    def test_what_crashed_is_no_kill_and_is_tried_again(self):
        self.answers["0 1"] = {"end": "crashed", "why": "signal"}
        status, out, _ = self.run_it()
        self.assertEqual(status, 1)
        self.assertIn("1 broken", out)
        self.answers["0 1"] = REFUTED
        status, out, _ = self.run_it()
        self.assertEqual((status, self.asked), (0, ["0 1"]))

    def test_goes_on_where_it_was_lost(self):
        self.answers.update({"0 1": REFUTED, "0 2": {"end": "dies"}})
        status, _, errors = self.run_it()
        self.assertEqual(status, 2)
        self.assertIn("the program was lost at defect 2", errors)
        self.answers["0 2"] = REFUTED
        status, _, _ = self.run_it()
        self.assertEqual((status, self.asked), (0, ["0 2"]))
        # A line that was cut short counts as none.
        results = self.folder / "work/results.jsonl"
        results.write_text(results.read_text(encoding="utf-8")[:-12], encoding="utf-8")
        self.run_it()
        self.assertEqual(len(self.asked), 1)

    def test_part_of_the_places(self):
        self.assertIn("1 defects", self.run_it("--every", "2")[1])
        self.assertEqual(self.run_it("--kind", "nowhere")[0], 2)


if __name__ == "__main__":
    unittest.main()
