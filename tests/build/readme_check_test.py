#!/usr/bin/env python3
"""Shows that readme_check.py notices a quotation that is no longer true."""
import unittest

from readme_check import first_difference, quoted

OUTPUT = ["title", "  one", "  two", "", "end"]


class ReadmeCheck(unittest.TestCase):
    def test_true_quotations_pass(self):
        for quote in (OUTPUT, ["title", "...", "end"], ["...", "  two", ""], ["title", "  one", "..."]):
            self.assertIsNone(first_difference(quote, OUTPUT), quote)

    def test_untrue_quotations_are_found(self):
        for quote, line in ((["title", "  1"], "  1"), (["title", "  two"], "  two"), (["...", "three"], "three"),
                            (["...", "  two", "...", "  one"], "  one"), (OUTPUT + ["more"], "more")):
            self.assertEqual(first_difference(quote, OUTPUT), line, quote)

    def test_a_readme_without_quotation_is_no_pass(self):
        with self.assertRaises(SystemExit):
            quoted("# Title\n\n```console\n$ ls\n```\n")

    def test_the_block_of_the_command_is_taken(self):
        self.assertEqual(quoted("```console\n$ ./run.sh demo\na\nb\n```\ntext\n```\nc\n```\n"), ["a", "b"])


if __name__ == "__main__":
    unittest.main()
