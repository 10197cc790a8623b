#!/usr/bin/env python3
"""Tries the generator on snippets: each kind of place is found, compiled and does what its text
says, and what is not understood is refused."""
import json
import os
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))
sys.dont_write_bytecode = True

import special  # noqa: E402
from rewriter import Places, Rules  # noqa: E402
from scopes import SourceFile  # noqa: E402
from tokens import Refused  # noqa: E402


def rewritten(text, rules=None):
    places, members = Places(), {}
    SourceFile("snippet.cpp", text, Places(), rules, members).rewrite()
    source = SourceFile("snippet.cpp", text, places, rules, members)
    return source.rewrite(), places.all, source.left_alone


def function(body, result="bool"):
    return f"{result} f(bool a, bool b, int x, int y) {{ {body} }}\n"


def kinds_of(body, result="bool"):
    return sorted(place.kind for place in rewritten(function(body, result))[1])


class Finding(unittest.TestCase):
    """Places are found where they are, and nothing else is one."""

    def test_not(self):
        self.assertEqual(kinds_of("const bool c = !a; (void)c; return 0;", "int"), ["! flipped", "statement deleted"])

    def test_and_or(self):
        self.assertEqual(kinds_of("const bool c = a && b || a; use(c);", "void"),
                         ["&& || flipped", "&& || flipped", "statement deleted"])

    def test_comparisons(self):
        for sign in ("<", "<=", ">", ">="):
            self.assertEqual(kinds_of(f"const bool c = x {sign} y;", "void"),
                             ["bound of a comparison moved", "comparison turned round"], sign)
        for sign in ("==", "!="):
            self.assertEqual(kinds_of(f"const bool c = x {sign} y;", "void"), ["comparison turned round"], sign)

    def test_conditions_are_forced_both_ways(self):
        self.assertEqual(kinds_of("if (a) return 1; return b ? 2 : 3;", "int"), ["condition forced"] * 4)

    def test_results_of_predicates_are_forced_both_ways(self):
        self.assertEqual(kinds_of("return a;"), ["result forced"] * 2)
        self.assertEqual(kinds_of("return x;", "int"), [])

    def test_a_constant_result_is_turned_round_once(self):
        self.assertEqual(kinds_of("return false;"), ["result forced"])

    def test_statements(self):
        self.assertEqual(kinds_of("x = y; ++x; f(x); { x += 1; } if (a) return; switch (x) { case 1: break; }", "void"),
                         ["condition forced"] * 2 + ["statement deleted"] * 6)

    def test_declarations_are_no_statements(self):
        self.assertEqual(kinds_of("const int z = y; Foo<int> w{x}; Foo& v = u; std::array<int, 3> t; using enum E; "
                                  "constexpr int s = 3 < 4; static_assert(1 < 2);", "void"), [])

    def test_lambdas_are_functions_in_a_function(self):
        self.assertEqual(kinds_of("const auto g = [&](int z) { x = z; };", "void"), ["statement deleted"])

    def test_memory_of_a_class_is_lost_where_it_is_updated(self):
        text, places, _ = rewritten("class C {\n public:\n  void update() {}\n  void other() {}\n private:\n"
                                    "  int a_ = 3;\n  bool b_{false};\n  Foo c_;\n  static constexpr int d{1};\n};\n")
        self.assertEqual([(p.kind, p.what, p.line) for p in places],
                         [("memory lost", "C::a_", 6), ("memory lost", "C::b_", 7), ("memory lost", "C::c_", 8)])
        self.assertIn("lose(1, a_, decltype(a_){3})", text)

    def test_place_and_text(self):
        _, places, _ = rewritten("bool f(int x) {\n  return g() &&\n         x < 3;\n}\n")
        self.assertEqual([(p.line, p.column, p.what) for p in places if p.kind == "bound of a comparison moved"],
                         [(3, 12, "x < 3: < made <=")])

    def test_templates_references_and_shifts_are_no_comparisons(self):
        self.assertEqual(kinds_of("const auto z = static_cast<Foo<int>>(x) << 2; auto&& r = y;", "void"), [])


class LeavingAlone(unittest.TestCase):
    """What is not a place is counted, with the reason."""

    def test_loops_and_constants(self):
        _, places, alone = rewritten(function("for (int i = 0; i < x; ++i) { } constexpr bool c = 1 < 2;", "void"))
        self.assertEqual((len(places), dict(alone)), (0, {"loop's head": 1, "constant": 1}))

    def test_what_the_compiler_evaluates(self):
        _, places, alone = rewritten("consteval bool f(int x) { return x < 3; }\n")
        self.assertEqual((len(places), dict(alone)), (0, {"evaluated by the compiler": 1, "function f: evaluated by the compiler": 1}))

    def test_functions_named_in_the_rules(self):
        _, places, alone = rewritten("bool f(int x) { return x < 3; }\n", Rules(functions={"f": "a reason"}))
        self.assertEqual((len(places), dict(alone)), (0, {"a reason": 1, "function f: a reason": 1}))


class Refusing(unittest.TestCase):
    """Nothing is passed over in silence."""

    def refused(self, text, why):
        with self.assertRaises(Refused) as refusal:
            rewritten(text)
        self.assertRegex(str(refusal.exception), rf"^snippet\.cpp:1:\d+: .*{why}")

    def test_statements(self):
        self.refused(function("do { x = 1; } while (a);"), "a statement that is not understood")
        self.refused(function("goto end;"), "a statement that is not understood")
        self.refused(function("::new (p) Foo;"), "a statement that is not understood")

    def test_a_comparison_without_blanks(self):
        self.refused(function("if (x <y) return a;"), "neither a comparison")

    def test_an_operator_out_of_place(self):
        self.refused(function("x = + && y;").replace("+ &&", "&& +"), "an operator where none can be")

    def test_brackets(self):
        self.refused("void f() { (a]; }", "closes nothing")
        self.refused("void f() {", "is never closed")

    def test_unknown_characters(self):
        self.refused("void f() { @ }", "cannot read")

    def test_a_transition_that_is_written_otherwise(self):
        with self.assertRaisesRegex(Refused, "2 transitions, of which 1"):
            special.transitions("machine.hpp", "msm_tools::Row<A, E, B, msm_tools::None, msm_tools::When<g>>, "
                                "msm_tools::Row<A, E, B>", Places())

    def test_an_edit_that_finds_no_place(self):
        with self.assertRaisesRegex(Refused, "expected 'old' 1 times, found 0"):
            special.replace("a.cpp", "text", "old", "new")

    def test_a_set_of_outputs_that_is_not_known(self):
        with self.assertRaisesRegex(Refused, "not a set of outputs"):
            special.outputs_in("matrix.cpp", "heat | whatever", {"heat": ["k1"]})


class Transitions(unittest.TestCase):
    def test_guards_and_actions(self):
        places = Places()
        text = special.transitions("machine.hpp", "msm_tools::Row<A, E, B, msm_tools::Do<act>, msm_tools::When<g>>,\n"
                                   "msm_tools::Row<B, E, A, msm_tools::None, msm_tools::None>", places)
        self.assertEqual([(p.kind, p.what, p.line) for p in places.all], [
            ("action of a transition dropped", "A -> B on E: act", 1),
            ("guard of a transition forced", "A -> B on E: g always true", 1),
            ("guard of a transition forced", "A -> B on E: g always false", 1),
            ("guard of a transition forced", "B -> A on E: transition lost", 2)])
        self.assertIn("msm_tools::Do<msm_tools::unless_dropped<1, act>>, msm_tools::When<msm_tools::forced<2, 3, g>>>", text)


SNIPPET = """
struct Memory {
  bool update(bool level) {
    const bool rose = level && !last_;
    last_ = level;
    return rose;
  }
  bool last_ = false;
};

int effects = 0;
bool rises() { ++effects; return true; }  // known to change something

int classify(int x, bool a, bool b) {
  int result = 0;
  if (x < 3) result += 1;
  if (x == 3)
    result += 10;
  else if (!a || b)
    result += 100;
  const auto twice = [](int y) { return y > 5 ? 2 * y : y; };
  result += 1000 * twice(x);
  if (a && rises()) result += 100000;
  return result;
}
"""

HARNESS = """
#include <cstdio>
#include <cstdlib>
int main(int count, char** arguments) {
  using namespace ovenproof::defects;
  chosen = count > 1 ? std::atoi(arguments[1]) : 0;
  static_assert(Memory{}.update(true));
  Memory memory;
  for (const bool level : {true, true, false}) std::printf("%d", memory.update(level));
  for (int x : {2, 3, 4, 6}) std::printf(" %d", classify(x, x != 6, false));
  std::printf(" %d\\n", effects);
  for (int i = 0; i < 100; ++i)
    if (notes[i] & differs) std::printf("%d\\n", i);
}
"""


class Running(unittest.TestCase):
    """The rewritten snippet, compiled: sound without defect, otherwise with any that matters."""

    @classmethod
    def setUpClass(cls):
        scratch = tempfile.TemporaryDirectory()
        cls.addClassCleanup(scratch.cleanup)
        text, cls.places, _ = rewritten(SNIPPET.replace("bool update", "constexpr bool update"))
        source, cls.program = Path(scratch.name) / "snippet.cpp", Path(scratch.name) / "snippet"
        source.write_text(text + HARNESS, encoding="utf-8")
        subprocess.run([os.environ.get("CXX", "g++"), "-std=c++20", "-Wall", "-Wextra", "-Wpedantic", "-Werror",
                        "-Wno-sign-compare", "-I", str(HERE.parent), "-o", cls.program, source], check=True)

    def output(self, defect):
        return subprocess.run([self.program, str(defect)], capture_output=True, text=True, check=True).stdout

    def number(self, kind, what):
        found = [p.number for p in self.places if p.kind == kind and p.what == what]
        self.assertEqual(len(found), 1, f"{kind}: {what} among {[(p.kind, p.what) for p in self.places]}")
        return found[0]

    def test_without_defect(self):
        self.assertEqual(self.output(0), "100 102001 103010 104000 12100 3\n")

    def test_each_defect_does_what_it_says(self):
        for kind, what, expected in (
                ("! flipped", "!last_: ! dropped", "010 102001 103010 104000 12100 3\n"),
                ("&& || flipped", "level && !last_: && made ||", "110 102001 103010 104000 12100 3\n"),
                ("bound of a comparison moved", "x < 3: < made <=", "100 102001 103011 104000 12100 3\n"),
                ("comparison turned round", "x < 3: < made >=", "100 102000 103011 104001 12101 3\n"),
                ("comparison turned round", "x == 3: == made !=", "100 102011 103000 104010 12010 3\n"),
                ("&& || flipped", "!a || b: || made &&", "100 102001 103010 104000 12000 3\n"),
                ("&& || flipped", "a && rises(): && made ||", "100 102001 103010 104000 112100 1\n"),
                ("condition forced", "y > 5: always false", "100 102001 103010 104000 6100 3\n"),
                ("condition forced", "!a || b: always true", "100 102101 103010 104100 12100 3\n"),
                ("result forced", "rose: always true", "111 102001 103010 104000 12100 3\n"),
                ("statement deleted", "last_ = level", "110 102001 103010 104000 12100 3\n"),
                ("statement deleted", "result += 10", "100 102001 103000 104000 12100 3\n"),
                ("statement deleted", "++effects", "100 102001 103010 104000 12100 0\n"),
                ("memory lost", "Memory::last_", "110 102001 103010 104000 12100 3\n")):
            with self.subTest(kind=kind, what=what):
                self.assertEqual(self.output(self.number(kind, what)), expected)

    def test_recording_changes_nothing_and_notes_what_matters(self):
        first, *noted = self.output(-1).splitlines()
        self.assertEqual(first + "\n", self.output(0))
        noted = set(map(int, noted))
        matters = {p.number for p in self.places if self.output(p.number) != self.output(0)}
        self.assertLessEqual(matters, noted)
        # `y > 5` is never looked at with 5, so moving its bound cannot matter.
        self.assertNotIn(self.number("bound of a comparison moved", "y > 5: > made >="), noted)


class WholeFirmware(unittest.TestCase):
    """The shipped sources are understood, and the places that matter most are all there."""

    def test_generates(self):
        with tempfile.TemporaryDirectory() as copy:
            done = subprocess.run([sys.executable, str(HERE / "generate.py"), str(HERE.parent.parent), copy],
                                  capture_output=True, text=True)
            self.assertEqual(done.returncode, 0, done.stderr)
            listing = (Path(copy) / "defects.json").read_text(encoding="utf-8")
            matrix = (Path(copy) / "firmware/logic/matrix.cpp").read_text(encoding="utf-8")
        for what in ("door_not_closed / k1", "emergency_stop / fan", "StandbyState -> CycleMachine on Advance: begin_cycle",
                     "gate_hold: elapsed at once", "Memory::gate_met", "OxygenTrust::faults_"):
            self.assertIn(f'"what": "{what}"', listing)
        places = json.loads(listing)
        reads = [(place["file"], place["kind"], place["what"]) for place in places]
        self.assertEqual(len(set(reads)), len(reads), "two places read alike")
        breaks = [place["what"] for place in places
                  if place["file"].endswith("/current_loop.cpp") and place["what"].startswith("break")]
        self.assertEqual(breaks, [f"break ({n} of 4)" for n in (1, 2, 3, 4)])
        self.assertIn("matrix[39].withholds = matrix[39].withholds - OutputSet(Output::k1)", matrix)

    def test_refuses_sources_that_are_not_there(self):
        with tempfile.TemporaryDirectory() as empty:
            done = subprocess.run([sys.executable, str(HERE / "generate.py"), empty, empty + "/copy"],
                                  capture_output=True, text=True)
        self.assertNotEqual(done.returncode, 0)


if __name__ == "__main__":
    unittest.main()
