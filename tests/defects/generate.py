#!/usr/bin/env python3
"""Writes an altered copy of the firmware in which each chosen place can be broken at run time.

  generate.py ROOT COPY     COPY gets firmware/..., and defects.json: every place with its number

The shipped sources stay as they are. Prints what was found in each file and what was left alone,
with the reason. Refuses what it does not understand (exit status 1) instead of passing it over.
"""
import json
import sys
from collections import Counter
from pathlib import Path

import special
from rewriter import Places, Rules
from scopes import SourceFile
from tokens import Refused

FOLDERS = ("firmware/logic", "firmware/controller", "firmware/conditioning", "firmware/control")

# Copied as they are, with the reason.
UNCHANGED = {
    "firmware/conditioning/reading.hpp": "names for reports, and plain data",
}

NOT_AT_RUN_TIME = "evaluated by the compiler"
RULES = {
    "firmware/logic/machine.hpp": Rules(no_forced_returns=True),  # each transition's guard is forced apart
    "firmware/logic/sequence.cpp": Rules(no_statements="makes and copies the machine"),
    "firmware/logic/matrix.cpp": Rules(functions={"rework_rows": "of the altered copy only"}),
    "firmware/controller/configuration.cpp": Rules(functions={"timers_of": "timers are broken one by one"}),
    "firmware/conditioning/thermocouple.cpp": Rules(functions=dict.fromkeys(
        ("polynomial", "reference_emf", "make_table"), NOT_AT_RUN_TIME)),
    "firmware/conditioning/pt100.cpp": Rules(functions=dict.fromkeys(("resistance", "make_table"), NOT_AT_RUN_TIME)),
}


def sources(root):
    """Headers first: members of a class are known before its functions are met."""
    found = [p for folder in FOLDERS for p in sorted((root / folder).iterdir()) if p.suffix in (".hpp", ".cpp")]
    return sorted(found, key=lambda p: (p.suffix == ".cpp", FOLDERS.index(str(p.parent.relative_to(root)))))


def write(path, text):
    """Leaves a file alone that is so already: nothing is compiled again for nothing."""
    path.parent.mkdir(parents=True, exist_ok=True)
    if not path.exists() or path.read_text(encoding="utf-8") != text:
        path.write_text(text, encoding="utf-8")


def told_apart(listing):
    """Numbers places of a file that read alike: lists with reasons name each of them alone."""
    def reads(place):
        return place["file"], place["kind"], place["what"]

    of, so_far = Counter(map(reads, listing)), Counter()
    told = []
    for place in listing:
        so_far[reads(place)] += 1
        which = f" ({so_far[reads(place)]} of {of[reads(place)]})" if of[reads(place)] > 1 else ""
        told.append({**place, "what": place["what"] + which})
    return told


def generate(root, copy):
    places, members = Places(), {}
    for source in sources(root):  # once for the members of all classes, which stand below their functions
        name = str(source.relative_to(root))
        if name not in UNCHANGED and source.suffix == ".hpp":
            text = special.before(name, source.read_text(encoding="utf-8"), Places(), root)
            SourceFile(name, text, Places(), RULES.get(name), members).rewrite()
    kept_alone = Counter()
    texts, seen = {}, set()
    for source in sources(root):
        name = str(source.relative_to(root))
        seen.add(name)
        text = source.read_text(encoding="utf-8")
        if name in UNCHANGED:
            texts[name] = text
            print(f"{name}: copied as it is ({UNCHANGED[name]})")
            continue
        before = len(places.all)
        text = special.before(name, text, places, root)
        rewriter = SourceFile(name, text, places, RULES.get(name), members)
        text = rewriter.rewrite()
        texts[name] = special.after(name, text, places, rewriter, root)
        kept_alone += rewriter.left_alone
        alone = ", ".join(f"{n} ({reason})" for reason, n in sorted(rewriter.left_alone.items()))
        print(f"{name}: {len(places.all) - before} places" + (f"; left alone: {alone}" if alone else ""))
    for name in sorted({*UNCHANGED, *RULES} - seen):
        raise Refused(f"{name}: named here, but there is no such file")
    for name, text in texts.items():
        write(copy / name, text)
    listing = told_apart([vars(place) for place in places.all])
    write(copy / "defects.json", json.dumps(listing, indent=0) + "\n")
    kinds = Counter(place.kind for place in places.all)
    for kind, count in sorted(kinds.items()):
        print(f"{count:5} {kind}")
    print(f"{len(listing):5} in all; operators and statements left alone: "
          + ", ".join(f"{n} ({reason})" for reason, n in sorted(kept_alone.items())))


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    try:
        generate(Path(sys.argv[1]), Path(sys.argv[2]))
    except Refused as refusal:
        print(f"generate.py: {refusal}", file=sys.stderr)
        sys.exit(1)


if __name__ == "__main__":
    main()
