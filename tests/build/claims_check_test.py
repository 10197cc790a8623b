#!/usr/bin/env python3
"""Shows that the claims which stood in guides and help are refused, and plain statements are not."""
import unittest

from claims_check import claims


class Claims(unittest.TestCase):
    def test_the_claims_that_stood_there_are_refused(self):
        for text in (
            "Ovenproof proves, at the desk and in continuous integration, that the control firmware of a sealed,\n"
            "inert-gas-purged industrial oven is safe, before it is deployed.",
            '"Proves at the desk that the control firmware of an inert-gas-purged oven is\\n"\n    "safe: the',
            "The real firmware, the same object code\nthat ships in the controller, then runs",
            '"the same\\n"\n      "code that ships, with every fact"',
            "// code, so that what is proved\n// is what ships.",
        ):
            self.assertEqual(len({why for _, why in claims(text)}), 1, text)

    def test_what_was_done_may_be_said(self):
        for text in ("It does not show that your oven is safe.", "The interlock is proved. The safe state is off.",
                     "78 of 79 interlocks PROVED", "The proof is of the logic alone."):
            self.assertEqual(list(claims(text)), [], text)


if __name__ == "__main__":
    unittest.main()
