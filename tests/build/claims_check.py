#!/usr/bin/env python3
"""Refuses sentences that claim more than the program shows.

usage: claims_check.py ROOT

Looks at what a user reads: guides, run.sh, and the texts of the command line and of the evidence page.
No test can tell whether a sentence is true; this keeps out the ones that were found to be untrue.
"""
import glob
import os
import re
import sys

READ = ["README.md", "DEVELOPERS.md", "run.sh", "CMakeLists.txt", "docs/*.md", "scenarios/*/*.md",
        "sim/app/*.cpp", "sim/evidence/*.cpp", "sim/evidence/page/*.js", "sim/evidence/page/*.html"]
# A text in a source is broken by quotes, in a script by comment signs.
BREAKS = re.compile(r'(\\n)?["`]?,?\s*\n\s*(["`]|#|//)?\s*|\s+')
CLAIMS = {
    r"\bprov(?:e|es|ed|ing)\b[^.;]{0,120}\b(?:is|are) safe\b":
        "nothing here shows that an oven or its firmware is safe; say what was done",
    r"\b(?:code|firmware) that ships\b|\bsame object code\b":
        "no board runs the firmware: say which sources, flags or objects are the same as where",
    r"\bwhat is proved is what (?:runs|ships)\b":
        "the logic is explored, the whole firmware is run: say which",
}


def claims(text):
    """(what was found, why it is refused) of a text."""
    plain = BREAKS.sub(" ", text)
    for pattern, why in CLAIMS.items():
        for found in re.finditer(pattern, plain, re.IGNORECASE):
            yield found[0], why


def main():
    root = sys.argv[1]
    paths = [path for pattern in READ for path in sorted(glob.glob(os.path.join(root, pattern)))]
    wrong = []
    for path in paths:
        with open(path, encoding="utf-8") as file:
            wrong += [f'{os.path.relpath(path, root)}: "{found}": {why}' for found, why in claims(file.read())]
    print("\n".join(wrong) or f"{len(paths)} files claim nothing of the kind")
    sys.exit(1 if wrong or not paths else 0)


if __name__ == "__main__":
    main()
