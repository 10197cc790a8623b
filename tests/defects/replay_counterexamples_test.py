#!/usr/bin/env python3
"""Tries the replays of counterexamples with stand-in programs: a list that is not true must fail."""
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

import replay_counterexamples  # noqa: E402
from replay_counterexamples import CANNOT, SHOWN, WAITS  # noqa: E402

# Proves and runs as told in ends.json: "REQ-A 1": what becomes of the scenario with defect 1, and "REQ-A 0"
# without any; what is not told of is not refuted.
STAND_IN = """#!{python}
import json, os, sys
arguments = sys.argv[1:]
ends = json.load(open(os.path.join(os.path.dirname(os.path.abspath(__file__)), "ends.json")))
defect = "0"
if arguments[0] == "--defect":
    defect, arguments = arguments[1], arguments[2:]
if arguments[0] == "prove" and "--out" not in arguments:
    told = [{{"id": name, "property": "always x"}} for name in ends["interlocks"]]
    told.append({{"id": "REQ-SAY", "property": "always answer.x"}})
    print(json.dumps({{"configurations": [{{"interlocks": told}}]}}))
elif arguments[0] == "prove":
    interlock = arguments[arguments.index("--property") + 1]
    if interlock + " " + defect in ends:
        folder = arguments[arguments.index("--out") + 1]
        open(os.path.join(folder, "refuted_" + interlock + ".yaml"), "w").close()
        sys.exit(1)
else:
    interlock = os.path.basename(arguments[-1])[len("refuted_"):-len(".yaml")]
    end = ends[interlock + " " + defect]
    outcome = "violated" if end == "violated" else "holds"
    print(json.dumps({{"cases": [{{"expectations": [{{"name": interlock, "outcome": outcome}}],
                                  "problems": ["waits"] if end == "stuck" else []}}]}}))
    sys.exit(0 if end == "passes" else 1)
"""


class ReplayTest(unittest.TestCase):
    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.folder = Path(scratch.name)
        place = lambda number, what: {"number": number, "file": "firmware/logic/x.cpp", "kind": "guard", "what": what}
        self.places = [place(1, "a"), place(2, "b"), place(3, "c")]
        self.ends = {"interlocks": ["REQ-A", "REQ-B", "REQ-C"], "REQ-A 1": "violated", "REQ-A 0": "passes",
                     "REQ-B 2": "violated", "REQ-B 0": "stuck"}
        self.list = (f"# what comes about\n[{SHOWN}]\nREQ-A: logic/x.cpp: guard: a\n"
                     f"[{WAITS}]\nREQ-B: logic/x.cpp: guard: b\n[{CANNOT}two contacts]\nREQ-C\n")

    def write(self, name, text):
        (self.folder / name).write_text(text, encoding="utf-8")
        return str(self.folder / name)

    def run_it(self, *what):
        program = self.write("program", STAND_IN.format(python=sys.executable))
        Path(program).chmod(0o755)
        self.write("ends.json", json.dumps(self.ends))
        out, errors = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(errors):
            status = replay_counterexamples.main([
                "--program", program, "--sound", program, "--places", self.write("places.json", json.dumps(self.places)),
                "--timers", self.write("timers.hpp", "enum class Timer {\n  changeover,\n  count\n};"),
                "--machine", "machine.yaml", "--work", str(self.folder / "work"), *what])
        return status, out.getvalue(), errors.getvalue()

    def check(self):
        return self.run_it("--list", self.write("list.txt", self.list))

    def fails_with(self, text):
        status, out, _ = self.check()
        self.assertEqual(status, 1, out)
        self.assertIn(text, out)

    def refuses_with(self, text):
        status, _, errors = self.check()
        self.assertEqual(status, 2, errors)
        self.assertIn(text, errors)

    def test_a_true_list_passes(self):
        status, out, errors = self.check()
        self.assertEqual((status, errors), (0, ""), out)
        self.assertIn("3 interlocks: 1 violated", out)

    def test_a_scenario_that_passes_with_the_defect_fails(self):
        self.ends["REQ-A 1"] = "passes"
        self.fails_with("REQ-A: logic/x.cpp: guard: a: passes with the defect")

    def test_a_scenario_that_accuses_the_sound_oven_fails(self):
        self.ends["REQ-A 0"] = "violated"
        self.fails_with("violated with the defect, violated without")

    def test_a_sound_oven_that_waits_in_vain_has_not_passed(self):
        self.ends["REQ-A 0"] = "stuck"
        self.fails_with("violated with the defect, stuck without")

    def test_a_step_that_waits_in_vain_shows_nothing(self):
        self.ends["REQ-B 2"] = "stuck"
        self.fails_with("REQ-B: logic/x.cpp: guard: b: stuck with the defect")

    def test_a_defect_that_is_not_refuted_fails(self):
        del self.ends["REQ-B 2"]
        self.fails_with("not refuted with the defect")

    def test_every_interlock_must_be_listed(self):
        self.ends["interlocks"].append("REQ-D")
        self.fails_with("REQ-D is not listed")

    def test_what_is_no_interlock_fails(self):
        self.ends["interlocks"].remove("REQ-C")
        self.fails_with("REQ-C is no interlock of the machine")

    def test_an_unknown_defect_is_refused_with_its_place(self):
        self.list = f"[{SHOWN}]\nREQ-A: logic/x.cpp: guard: z\n"
        self.refuses_with("list.txt:2: expected")

    def test_a_line_without_heading_is_refused(self):
        self.list = "REQ-C\n"
        self.refuses_with("list.txt:1: expected a heading")

    def test_twice_the_same_interlock_is_refused(self):
        self.list += "REQ-C\n"
        self.refuses_with("REQ-C is listed twice")

    def test_what_refuted_defects_is_tried_until_it_is_shown(self):
        self.ends |= {"REQ-A 3": "passes", "REQ-C 1": "stuck", "REQ-C 0": "stuck"}
        refuted = lambda by, defect, depth: json.dumps({"end": "refuted", "machine": 0, "by": by, "defect": defect, "depth": depth})
        lines = ["digest", refuted("REQ-A", 1, 5), refuted("REQ-A", 3, 2), refuted("REQ-B", 2, 5), refuted("REQ-C", 1, 5)]
        status, out, errors = self.run_it("--results", self.write("results.jsonl", "\n".join(lines)))
        self.assertEqual(status, 0)
        self.assertEqual(out, f"[{SHOWN}]\nREQ-A: logic/x.cpp: guard: a\n\n[{WAITS}]\nREQ-B: logic/x.cpp: guard: b\n\n"
                              f"[{CANNOT}?]\nREQ-C\n\n")


if __name__ == "__main__":
    unittest.main()
