#!/usr/bin/env python3
"""Tries the survey with stand-in programs: what counts as a kill, what fails, what is taken up again."""
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

import survey  # noqa: E402

# Stands in for both programs. Answers for each defect as told in answers.json beside it.
STAND_IN = """#!{python}
import json, os, sys
here = os.path.dirname(os.path.abspath(__file__))
told = json.load(open(os.path.join(here, "answers.json")))
if "run" in sys.argv:
    sys.stdout.write(told["altered_output"] if "--defect" in sys.argv else told["sound_output"])
    sys.exit(told["status"])
if sys.argv[1] == "--record":
    share, shares = int(sys.argv[4]), int(sys.argv[5])
    own = lambda all: [one if i % shares == share else None for i, one in enumerate(all)]
    record = told["record"]
    json.dump({{"items": own(record["items"]), "beginnings": own(record["beginnings"]),
                "reached": record["reached"] if share == 0 else [5]}}, open(sys.argv[2], "w"))
    open(os.path.join(here, "recorded_beside"), "w").write(sys.argv[3])
    sys.exit(told["record_status"][share])
print(json.dumps({{"items": [item["name"] for item in told["record"]["items"]]}}), flush=True)
for line in sys.stdin:
    order = json.loads(line)
    with open(os.path.join(here, "orders"), "a") as log:
        log.write(line)
    answer = told["answers"].get(str(order["defect"]) + ("a" if "alone" in order else "b" if "beside" in order else ""))
    if answer is None:
        sys.exit(1)
    print(json.dumps(dict(answer, defect=order["defect"])), flush=True)
"""

KILLED = {"end": "killed", "item": 1, "by": "hazard", "why": "too hot"}


def place(number, kind, what, file="firmware/logic/a.cpp"):
    return {"number": number, "kind": kind, "file": file, "line": 10 + number, "column": 3, "what": what}


class SurveyTest(unittest.TestCase):
    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.folder = Path(scratch.name)
        self.told = {"sound_output": "{}", "altered_output": "{}", "status": 0, "record_status": [0, 0],
                     "record": {"items": [{"name": "quick", "file": "a.yaml", "cost_s": 0.1, "differs": [1, 2, 3],
                                           "beginning": 0, "differs_beside": [], "differs_without_trips": [8]},
                                          {"name": "slow", "file": "b.yaml", "cost_s": 9.0, "differs": [1, 2, 3],
                                           "differs_beside": [1, 7], "differs_without_trips": []}],
                                "beginnings": [{"differs": [2]}], "reached": [1, 2, 3, 4]},
                     "answers": {"1": KILLED, "2": KILLED, "3": {"end": "survived"}}}
        self.places = [place(1, survey.CELL, "door / fan"), place(2, "! flipped", "!a"),
                       place(3, "statement deleted", "a = b"), place(4, "! flipped", "!b"), place(5, "! flipped", "!c")]
        self.redundant = ""
        (self.folder / "a.yaml").write_text("x", encoding="utf-8")

    def run_survey(self, *more):
        program = self.folder / "program"
        program.write_text(STAND_IN.format(python=sys.executable), encoding="utf-8")
        program.chmod(0o755)
        (self.folder / "answers.json").write_text(json.dumps(self.told), encoding="utf-8")
        (self.folder / "places.json").write_text(json.dumps(self.places), encoding="utf-8")
        (self.folder / "redundant.txt").write_text(self.redundant, encoding="utf-8")
        (self.folder / "orders").write_text("", encoding="utf-8")
        out, errors = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(errors):
            status = survey.main(["--program", str(program), "--sound", str(program), "--jobs", "1",
                                  "--places", str(self.folder / "places.json"), "--work", str(self.folder / "work"),
                                  "--redundant", str(self.folder / "redundant.txt"), *more, str(self.folder / "a.yaml")])
        self.orders = [json.loads(line) for line in (self.folder / "orders").read_text().splitlines()]
        return status, out.getvalue(), errors.getvalue()

    def test_counts_and_names(self):
        status, out, _ = self.run_survey()
        self.assertEqual(status, 0)
        self.assertRegex(out, r"(?m)^all +5 +2 +40% +0 +0 +0 +1 +2 +0$")
        self.assertRegex(out, r"(?m)^! flipped +3 +1 +33% +0 +0 +0 +0 +2 +0$")
        self.assertIn("firmware/logic/a.cpp:13:3: [3] statement deleted: a = b (makes a difference in 2 of 2, tried in 2)", out)
        self.assertIn("[4] ! flipped: !b\n", out)
        self.assertIn("[5] ! flipped: !c (never come to)\n", out)
        self.assertEqual(out, (self.folder / "work/report.txt").read_text())
        self.assertEqual((self.folder / "work/caught_cells.txt").read_text(),
                         "[alone]\ndoor / fan: slow\n[where the sequence does not follow trips]\n"
                         "[where, besides, no row of the other kind withholds anything]\n")

    def test_only_items_in_which_it_matters_and_own_beginnings_last(self):
        self.run_survey()
        self.assertEqual([(o["defect"], o["items"], o["own_beginning"]) for o in self.orders],
                         [(1, [0, 1], [False, False]), (2, [1, 0], [False, True]), (3, [1, 0], [False, False])])

    def test_a_changed_condition_of_the_matrix_matters_everywhere(self):
        self.places = [place(9, survey.EVERYWHERE[0], "door / fact")]
        self.told["answers"]["9"] = KILLED
        self.run_survey()
        self.assertEqual(self.orders[0]["own_beginning"], [False, True])

    def test_a_cleared_cell_that_survives_fails(self):
        for answer in ({"end": "survived"}, {"end": "crashed", "why": "Aborted"}, {"end": "overdue"}, {"end": "lost"}):
            with self.subTest(answer):
                self.told["answers"]["1"] = answer
                (self.folder / "a.yaml").write_text(str(answer), encoding="utf-8")
                status, out, _ = self.run_survey()
                self.assertEqual(status, 1)
                self.assertIn("FAILED: cleared cell door / fan is not noticed", out)

    def test_a_cell_in_which_nothing_differs_fails(self):
        self.places[0]["number"] = 7
        self.assertEqual(self.run_survey()[0], 1)

    def test_a_crash_is_no_kill(self):
        self.told["answers"]["2"] = {"end": "crashed", "why": "Segmentation fault"}
        status, out, _ = self.run_survey()
        self.assertEqual(status, 0)
        self.assertRegex(out, r"(?m)^all +5 +1 +20% +0 +0 +0 +1 +2 +1$")
        self.assertIn("[2] ! flipped: !a (crashed: Segmentation fault)", out)

    def test_a_redundant_cell_may_survive(self):
        self.redundant = "# why\ndoor / fan: nothing can be lost with it\n"
        self.told["answers"]["1"] = {"end": "survived"}
        status, out, _ = self.run_survey()
        self.assertEqual(status, 0)
        self.assertIn("noticed 0, noticed once the sequence does not follow trips 0, once no row of the other kind counts 0, listed as redundant 1, unnoticed 0", out)

    def with_first_line(self, behind, bare={"end": "survived"}):
        if len(self.places) < 6:
            self.places.append(dict(place(6, *survey.FIRST_LINE), line=1))
        self.told["answers"].update({"1": {"end": "survived"}, "1b": behind, "1a": bare})
        return self.run_survey()

    def test_a_cell_behind_the_sequence_is_noticed_with_the_sequence_broken(self):
        status, out, _ = self.with_first_line(KILLED)
        self.assertEqual(status, 0)
        self.assertIn("noticed 0, noticed once the sequence does not follow trips 1, once no row of the other kind counts 0, listed as redundant 0, unnoticed 0", out)
        self.assertEqual([(o["defect"], o.get("beside")) for o in self.orders], [(1, None), (2, None), (3, None), (1, 6)])
        self.assertEqual(self.orders[-1]["items"], [1])  # in which it makes a difference then
        self.assertEqual((self.folder / "recorded_beside").read_text(), "6")
        self.assertEqual((self.folder / "work/caught_cells.txt").read_text(),
                         "[alone]\n[where the sequence does not follow trips]\ndoor / fan: slow\n"
                         "[where, besides, no row of the other kind withholds anything]\n")
        again = self.run_survey()
        self.assertEqual((again[:2], self.orders), ((status, out), []))

    def test_a_cell_behind_rows_of_the_other_kind_is_noticed_without_them(self):
        status, out, _ = self.with_first_line({"end": "survived"}, KILLED)
        self.assertEqual(status, 0)
        self.assertIn("follow trips 0, once no row of the other kind counts 1, listed as redundant 0, unnoticed 0", out)
        self.assertEqual([(o["defect"], o.get("beside"), o.get("alone")) for o in self.orders[-2:]],
                         [(1, 6, None), (1, 6, True)])
        self.assertIn("withholds anything]\ndoor / fan: slow\n", (self.folder / "work/caught_cells.txt").read_text())
        again = self.run_survey()
        self.assertEqual((again[:2], self.orders), ((status, out), []))

    def test_a_cell_that_makes_a_difference_only_behind_the_sequence_is_tried_there(self):
        self.places[0]["number"] = 7
        self.told["answers"]["7b"] = KILLED
        self.assertEqual(self.with_first_line(KILLED)[0], 0)
        self.assertEqual([(o["defect"], o.get("beside")) for o in self.orders], [(2, None), (3, None), (7, 6)])

    def test_a_cell_that_makes_a_difference_only_without_trips_is_tried_there(self):
        self.places[0]["number"] = 8
        self.told["answers"]["8a"] = KILLED
        self.assertEqual(self.with_first_line(KILLED)[0], 0)
        self.assertEqual([(o["defect"], o["items"], o.get("alone")) for o in self.orders],
                         [(2, [1, 0], None), (3, [1, 0], None), (8, [0], True)])

    def test_a_cell_that_makes_no_difference_anywhere_fails(self):
        self.places[0]["number"] = 9
        status, out, _ = self.with_first_line(KILLED)
        self.assertEqual(status, 1)
        self.assertIn("FAILED: cleared cell door / fan is not noticed", out)

    def test_a_cell_that_is_not_noticed_even_then_fails(self):
        for behind in ({"end": "survived"}, {"end": "crashed"}):
            with self.subTest(behind):
                (self.folder / "a.yaml").write_text(str(behind), encoding="utf-8")
                status, out, _ = self.with_first_line(behind)
                self.assertEqual(status, 1)
                self.assertIn("FAILED: cleared cell door / fan is not noticed", out)

    def test_a_redundant_cell_that_is_noticed_then_fails(self):
        self.redundant = "door / fan: reason\n"
        status, out, _ = self.with_first_line(KILLED)
        self.assertEqual(status, 1)
        self.assertIn("is listed as redundant, but is noticed", out)

    def test_a_list_that_is_not_true_fails(self):
        for self.redundant in ("door / fan: reason\n", "door / k9: reason\n"):
            with self.subTest(self.redundant):
                status, out, _ = self.run_survey()
                self.assertEqual(status, 1)
                self.assertIn("is listed as redundant, but", out)

    def test_a_reason_is_asked_for(self):
        self.redundant = "door / fan\n"
        status, _, errors = self.run_survey()
        self.assertEqual(status, 2)
        self.assertIn("redundant.txt:1: expected", errors)

    def test_the_sound_suite_must_pass_first(self):
        self.told["status"] = 1
        status, _, errors = self.run_survey()
        self.assertEqual(status, 2)
        self.assertIn("the scenarios must pass first", errors)

    def test_the_copy_must_be_the_same_without_defect(self):
        self.told["altered_output"] = "{ }"
        status, _, errors = self.run_survey()
        self.assertEqual(status, 2)
        self.assertIn("gives other results than the program that ships", errors)

    def test_jobs_record_a_share_each(self):
        alone = self.run_survey()[1]
        (self.folder / "a.yaml").write_text("y", encoding="utf-8")
        _, out, _ = self.run_survey("--jobs", "2")
        record = json.loads((self.folder / "work/record.json").read_text())
        self.assertEqual(record, {**self.told["record"], "reached": [1, 2, 3, 4, 5]})
        self.assertEqual(out, alone.replace(" (never come to)", ""))

    def test_a_recording_that_fails_ends_the_survey(self):
        self.told["record_status"] = [0, 1]
        self.assertEqual(self.run_survey("--jobs", "2")[0], 2)
        self.assertFalse((self.folder / "work/record.json").exists())

    def test_a_defect_may_be_tried_in_some_cases_only_and_in_more_later(self):
        status, out, _ = self.run_survey("--at-most", "1")
        # "slow" is a whole cycle, which takes too long for that.
        self.assertEqual([(o["items"], o["brief"]) for o in self.orders], [([0], True)] * 3)
        self.assertIn("(makes a difference in 2 of 2, tried in 1)", out)
        self.run_survey("--at-most", "1")
        self.assertEqual(self.orders, [])
        _, out, _ = self.run_survey()
        self.assertEqual([(o["defect"], len(o["items"]), "brief" in o) for o in self.orders], [(3, 2, False)])
        self.assertIn("(makes a difference in 2 of 2, tried in 2)", out)

    def test_some_cases_are_of_as_many_files_as_can_be(self):
        files = ["a", "a", "b", "c", "b"]
        orders = [(0, False), (1, False), (2, False), (3, True), (4, True)]
        chosen = lambda count: [item for item, _ in survey.at_most(count, orders, files)]
        self.assertEqual([chosen(n) for n in (2, 3, 4, 9)], [[0, 2], [0, 2, 3], [0, 1, 2, 3], [0, 1, 2, 3, 4]])

    def test_a_lost_server_ends_the_survey_and_it_goes_on_later(self):
        del self.told["answers"]["2"]
        status, _, errors = self.run_survey()
        self.assertEqual(status, 2)
        self.assertIn("the server was lost at defect 2", errors)
        self.told["answers"]["2"] = KILLED
        status, out, _ = self.run_survey()
        # A line that was cut short counts as none.
        self.assertEqual((status, [o["defect"] for o in self.orders]), (0, [2, 3]))
        results = self.folder / "work/results.jsonl"
        results.write_text(results.read_text()[:-12], encoding="utf-8")
        status, again, _ = self.run_survey()
        self.assertEqual((status, again), (0, out))
        self.assertLessEqual(len(self.orders), 1)

    def test_changed_scenarios_begin_anew(self):
        self.run_survey()
        (self.folder / "a.yaml").write_text("y", encoding="utf-8")
        self.run_survey()
        self.assertEqual([o["defect"] for o in self.orders], [1, 2, 3])

    def test_part_of_the_places(self):
        self.redundant = "door / k9: reason\n"  # says nothing of the part
        status, out, _ = self.run_survey("--kind", "flipped")
        self.assertEqual(status, 0)
        self.assertRegex(out, r"(?m)^all +3 ")
        self.assertEqual(self.run_survey("--only", "firmware/nowhere")[0], 2)

    def with_unit_tests(self, answers, *more):
        """Unit tests that say so of each defect, and fail or not without one."""
        folder = self.folder / "units"
        folder.mkdir(exist_ok=True)
        for name in survey.units.FOLDERS:
            program = folder / f"defects_units_{name}"
            program.write_text(f"#!{sys.executable}\nimport sys\nanswers = {answers!r}\n"
                               f"text, status = answers.get('{name} ' + sys.argv[1], ('', 0))\nprint(text)\n"
                               "sys.exit(status)\n", encoding="utf-8")
            program.chmod(0o755)
        return self.run_survey("--units", str(folder), *more)

    def test_what_no_scenario_notices_is_tried_with_the_unit_tests_of_its_folder(self):
        self.places[3]["file"] = "firmware/control/b.cpp"
        status, out, _ = self.with_unit_tests({"logic 1": ("TEST CASE:  not asked", 1), "logic 3": ("TEST CASE:  a holds", 1),
                                               "control 4": ("FATAL ERROR: test case CRASHED: SIGSEGV", 1)})
        self.assertEqual(status, 0)
        self.assertRegex(out, r"(?m)^all +5 +2 +40% +0 +1 +0 +0 +2 +0$")
        results = [json.loads(line) for line in (self.folder / "work/results.jsonl").read_text().splitlines()[1:]]
        self.assertEqual([(r["defect"], r["units"], r["end"], r.get("by")) for r in results if "units" in r],
                         [(3, "logic", "killed", "a holds"), (4, "control", "crashed", None), (5, "logic", "survived", None)])

    def test_some_more_cases_are_for_what_no_unit_test_notices(self):
        noticed = {"logic 3": ("TEST CASE:  a holds", 1)}
        self.with_unit_tests(noticed, "--at-most", "1")
        self.with_unit_tests(noticed, "--at-most", "2")
        self.assertEqual(self.orders, [])
        self.with_unit_tests(noticed)
        self.assertEqual([o["defect"] for o in self.orders], [3])

    def test_unit_tests_must_pass_without_defect(self):
        status, _, errors = self.with_unit_tests({"control 0": ("TEST CASE:  b", 1)})
        self.assertEqual(status, 2)
        self.assertIn("the unit tests of firmware/control without defect: killed: b", errors)

    def test_what_the_prover_notices_is_told(self):
        import hashlib
        (self.folder / "mutants").write_text("the prover", encoding="utf-8")
        results = self.folder / "mutants.jsonl"
        digest = lambda: hashlib.sha256(b"the prover" + (self.folder / "places.json").read_bytes()).hexdigest()
        self.run_survey()
        lines = [{"defect": 3, "machine": 0, "end": "refuted"}, {"defect": 4, "machine": 0, "end": "survived"},
                 {"defect": 4, "machine": "behind", "end": "survived"}, {"defect": 5, "machine": 0, "end": "silent"}]
        results.write_text(digest() + "\n" + "".join(json.dumps(line) + "\n" for line in lines), encoding="utf-8")
        mutants = ("--mutants", str(self.folder / "mutants"), str(results))
        status, out, _ = self.run_survey(*mutants)
        self.assertEqual(status, 0)
        self.assertRegex(out, r"(?m)^all +5 +2 +40% +0 +0 +2 +0 +1 +0$")
        results.write_text("of something else\n", encoding="utf-8")
        _, out, errors = self.run_survey(*mutants)
        self.assertRegex(out, r"(?m)^all +5 +2 +40% +0 +0 +0 +1 +2 +0$")
        self.assertIn("is of another firmware", errors)

    def test_survivors_are_explained_and_the_list_must_be_true(self):
        explained = self.folder / "explained.txt"
        explained.write_text("[never matters]\nlogic/a.cpp: statement deleted: a = b\n", encoding="utf-8")
        status, out, _ = self.run_survey("--explained", str(explained))
        self.assertEqual(status, 0)
        self.assertIn("a = b (makes a difference in 2 of 2, tried in 2): never matters", out)
        self.assertIn("noticed by nobody and not explained 2", out)
        explained.write_text("[never matters]\nlogic/a.cpp: ! flipped: !a\n", encoding="utf-8")
        status, out, _ = self.run_survey("--explained", str(explained))
        self.assertEqual(status, 1)
        self.assertIn("FAILED: logic/a.cpp: ! flipped: !a is listed as unnoticed, but is noticed", out)

    def test_a_reason_why_the_prover_need_not_notice_explains_a_survivor_and_a_scenario_may_notice(self):
        unproved = self.folder / "unproved.txt"
        unproved.write_text("[the prover is blind there]\nlogic/a.cpp: statement deleted: a = b\n"
                            "logic/a.cpp: ! flipped: !a\n", encoding="utf-8")
        status, out, _ = self.run_survey("--unproved", str(unproved))
        self.assertEqual(status, 0)
        self.assertIn("a = b (makes a difference in 2 of 2, tried in 2): the prover is blind there", out)
        self.assertIn("noticed by nobody and not explained 2", out)

    def test_what_killed_nearby_is_tried_first(self):
        experience = survey.Experience()
        library = survey.Library(self.told["record"])
        order = lambda p: [item for item, _ in experience.sort(p, [(0, False), (1, False)], library)]
        self.assertEqual(order(self.places[1]), [0, 1])
        experience.learn(self.places[2], 1)
        self.assertEqual(order(self.places[1]), [1, 0])


if __name__ == "__main__":
    unittest.main()
