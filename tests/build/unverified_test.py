#!/usr/bin/env python3
"""Shows that a mark without a source, and a list that is not as the marks are, are refused."""
import os
import tempfile
import unittest

from unverified import COUNT, LIST, collect, header, marks, page, stale

FROM = "from " + "memory"
GOOD = FROM + ": ISO 13849-1:2015, table K.1: check against the standard"


class Marks(unittest.TestCase):
    def one(self, text, path="sim/a.cpp"):
        found, wrong = marks(path, text)
        self.assertEqual((len(found), wrong), (1, []), text)
        return found[0]

    def test_what_stood_there_is_refused(self):
        for text in (
            f"// ISO 13732-1, burn threshold of bare metal; {FROM}.",
            f"// {FROM} of the standard: look it up",
            "/// Rows of it. From\n/// memory of the standard.",
            '"argon some 5 % more (from "\n"memory)"',
            f"450,14.846,{FROM} of NIST table",
            f"// {FROM}: ISO 13849-1:2015: check against the standard",
            f"// {FROM}: the standard, table K.1: check against the standard",
            f"// {FROM}: ISO 13849-1:2015, table K.1: look it up",
            f"// {FROM}: ISO 13849-1:2015, {GOOD}",
        ):
            found, wrong = marks("sim/a.cpp", text)
            self.assertTrue(wrong and wrong[0].startswith("sim/a.cpp:1: "), text)

    def test_a_mark_is_found_over_the_ends_of_lines(self):
        for text in (f"/// Rows {GOOD}.\nconstexpr int rows = 1;",
                     "/// Rows from\n/// memory: ISO 13849-1:2015,\n/// table K.1: check\n/// against the standard.\n"
                     "constexpr int rows = 1;",
                     f'constexpr auto rows =\n    "Rows {FROM}: ISO 13849-1:2015, "\n    "table K.1: check against "\n'
                     '    "the standard";'):
            mark = self.one(text)
            self.assertEqual((mark["source"], mark["clause"], mark["kind"], mark["what"]),
                             ("ISO 13849-1:2015", "table K.1", "standard", "Rows"), text)

    def test_the_place_does_not_depend_on_the_line(self):
        text = f'TEST_CASE("rows fall") {{\n  // Rows {GOOD}.\n'
        self.assertEqual(self.one(text), self.one("// one line more\n\n" + text))
        self.assertEqual(self.one(text)["symbol"], '"rows fall"')
        self.assertEqual(self.one(f"/// Rows {GOOD}.\nconstexpr int rows = 1;")["symbol"], "rows")
        self.assertEqual(self.one(f"# Safety\n\nRows {GOOD}.", "docs/a.md")["symbol"], "Safety")
        self.assertEqual(self.one(f'key("gas.flow", "1",\n    "usual ({GOOD})")', "sim/keys_a.cpp")["symbol"], "gas.flow")

    def test_a_stale_list_is_refused(self):
        with tempfile.TemporaryDirectory() as root:
            for folder in ("docs", "sim/evidence"):
                os.makedirs(os.path.join(root, folder))

            def write(path, text):
                with open(os.path.join(root, path), "w", encoding="utf-8") as file:
                    file.write(text)

            write("docs/a.md", f"# Safety\n\nRows {GOOD}.\n")
            found, wrong = collect(root)
            self.assertEqual((len(found), wrong), (1, []))
            self.assertEqual(len(list(stale(root, found))), 2)
            write(LIST, page(found))
            write(COUNT, header(found))
            self.assertEqual(list(stale(root, found)), [])
            write("docs/a.md", f"# Safety\n\nRows {GOOD}.\nBands {GOOD.replace('K.1', '3')}.\n")
            self.assertEqual(len(list(stale(root, collect(root)[0]))), 2)


if __name__ == "__main__":
    unittest.main()
