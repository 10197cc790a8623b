#!/usr/bin/env python3
"""Lists what was written down without its source at hand: docs/unverified.md and the count for the page.

usage: unverified.py ROOT [--write]

The form of a mark is FORM below: for a standard it names the clause, for literature author, title and
year. It stands in any source, table or guide. Without --write nothing is written: the check fails when the
list is stale or a mark lacks one of its parts.
"""
import bisect
import os
import re
import sys

FOLDERS = ["docs", "firmware", "hal-mock", "scenarios", "sim", "tests"]
FILES = ["README.md", "DEVELOPERS.md", "CMakeLists.txt", "run.sh"]
KINDS = (".cpp", ".hpp", ".c", ".h", ".py", ".js", ".mjs", ".md", ".csv", ".yaml", ".json", ".html", ".css",
         ".txt", ".cmake", ".sh")
LIST = "docs/unverified.md"
COUNT = "sim/evidence/unverified.hpp"
# Written by the program from texts that are listed where they stand.
GENERATED = {LIST, COUNT, "docs/machine-keys.md", "docs/machine.schema.json", "docs/scenario.schema.json"}
FORM = "from" + " memory: STANDARD, CLAUSE: check against the standard"  # or "against the source"
START = re.compile(r"from[ ]memory", re.IGNORECASE)
MARK = re.compile(r"from[ ]memory: (.{4,150}?): check against the (standard|source)\b", re.IGNORECASE)
STANDARD = re.compile(r"(ISO|IEC|EN|NFPA|FIPS|ASTM|NAMUR)\b.*\d")
LEADER = re.compile(r'^\s*(?:///<|///|//|#(?!include)|\*(?!\*)|")?\s*')
TRAILER = re.compile(r'\s*(?:\\n)?"?\s*$')
DEFINITION = re.compile(r"(?:struct|class|enum class|enum) (\w+)|\b(\w+)\s*(?:\{|\(|=|;|<)")
KEY = re.compile(r'"([a-z_0-9]+\.[a-z_0-9]+)"')
CODE = (".cpp", ".hpp")


def joined(lines):
    """The text without the signs of comments and strings at breaks, and where each line begins in it."""
    text, starts = "", []
    for line in lines:
        starts.append(len(text))
        text += TRAILER.sub("", LEADER.sub("", line)) + " "
    return text, starts


def name_of(line):
    """What a line of C++ declares."""
    case = re.search(r'TEST_CASE\("([^"]*)"?', line)
    if case:
        return f'"{case[1]}"'
    line = re.sub(r"\[\[\w+\]\]|//.*|std::\w+<[^>]*>+", "", line)
    found = DEFINITION.search(line)
    return next((each for each in found.groups() if each), None) if found else None


def symbol(path, lines, at, end):
    """What a reader looks for in the file to find the mark, which runs from line `at` to line `end`."""
    if path.endswith(".md"):
        return next((line.lstrip("# ") for line in reversed(lines[:at + 1]) if line.startswith("#")), "top")
    if not path.endswith(CODE):
        return "heading" if at == 0 else "text"
    if re.search(r"/(keys_|table_)", path):
        for line in reversed(lines[max(0, at - 8):at + 1]):
            if KEY.search(line):
                return KEY.search(line)[1]
    if "TEST_CASE" in lines[at]:
        return name_of(lines[at])
    if not lines[at][:1].isspace():
        if lines[at].startswith("///") or not lines[at].startswith("//"):
            after = next((line for line in lines[(end + 1 if lines[at].startswith("/") else at):]
                          if line.strip() and not line.startswith(("//", "template"))), "")
            named = None if after.startswith(("namespace", "using", "#")) else name_of(after)
            if named:
                return named
        return "head of the file"
    if "///" in lines[at]:
        after = next((line for line in lines[end + 1:] if line.strip() and "//" not in line), "")
        if name_of(after):
            return name_of(after)
    for line in reversed(lines[:at]):
        if line.strip() and not line[0].isspace() and not line.startswith(("/", "}", "#", "namespace", ")")):
            return name_of(line) or "head of the file"
    return "head of the file"


def what(lines, at, before):
    """The last words before a mark, which begins in line `at` after the text `before`: what was not seen."""
    sign = next((each for each in ("//", '"') if lines[at].lstrip().startswith(each)), "")
    first = at
    while sign and first > 0 and lines[first - 1].lstrip().startswith(sign):
        first -= 1
    while not sign and lines[at][:1].isalnum() and first > 0 and lines[first - 1].strip():
        first -= 1
    text, starts = joined(lines[first:at + 1])
    text = text[:starts[-1]] + before
    text = re.sub(r"\s+", " ", re.split(r'(?<=[\w)"])[.;|] |", "?|" |// ', text)[-1])
    text = re.sub(r'[`"|*]|^\W+|(\b(are|is)\b|[\s(,:])+$', "", text)
    return text if text.count("(") == text.count(")") else text.replace(" (", ", ")


def marks(path, content):
    """({what, path, symbol, source, clause, kind}, complaints) of a file."""
    lines = content.split("\n")
    text, starts = joined(lines)
    found, wrong = [], []
    for start in START.finditer(text):
        at = bisect.bisect_right(starts, start.start()) - 1
        mark = MARK.match(text, start.start())
        if not mark or START.search(mark[1]):
            wrong.append(f'{path}:{at + 1}: a value that was not seen needs its source, as "{FORM}" or "... the source"')
            continue
        source, _, clause = mark[1].partition(", ")
        if not clause.strip():
            wrong.append(f'{path}:{at + 1}: "{mark[1]}" names no clause, page or title; say so if it is unknown')
        elif mark[2] == "standard" and not STANDARD.match(source):
            wrong.append(f'{path}:{at + 1}: "{source}" is no standard; for literature write "check against the source"')
        else:
            end = bisect.bisect_right(starts, mark.end() - 1) - 1
            found.append({"what": what(lines, at, text[starts[at]:start.start()]), "path": path, "symbol": symbol(path, lines, at, end),
                          "source": source, "clause": clause, "kind": mark[2]})
    return found, wrong


def collect(root):
    paths = [each for each in FILES if os.path.exists(os.path.join(root, each))]
    for folder in FOLDERS:
        for base, _, names in os.walk(os.path.join(root, folder)):
            paths += [os.path.relpath(os.path.join(base, name), root) for name in names if name.endswith(KINDS)]
    found, wrong = [], []
    for path in sorted(paths):
        if path in (LIST, COUNT) or "/vendor/" in path:
            continue
        with open(os.path.join(root, path), encoding="utf-8") as file:
            content = file.read()
        if "memory" not in content.lower():
            continue
        here, bad = marks(path, content)
        wrong += bad
        found += [] if path in GENERATED else here
    return found, wrong


def page(found):
    """docs/unverified.md"""
    out = ["# Values that were not checked against their source", "",
           "The standard or publication was not at hand when these values, formulas and clause numbers were written",
           "down. Before you rely on one, look it up in the source that is named, in the edition that",
           "applies where the oven stands, and correct it here if it differs. A test that uses such a value shows",
           "that program and value agree, not that the value is right.", "",
           f"{len(found)} places. Written by `tests/build/unverified.py . --write` from the marks at each place;",
           "a build check fails when it is stale.", ""]
    for kind, title, do in (("standard", "Standards", "check against the standard"),
                            ("source", "Literature and data sheets", "check against the source")):
        out += [f"## {title}", ""]
        these = [each for each in found if each["kind"] == kind]
        for source in sorted({each["source"] for each in these}):
            out += [f"### {source}", "", "| what | place | clause, title or page | what to do |", "|---|---|---|---|"]
            rows = [f'| {each["what"] or each["symbol"]} | `{each["path"]}`, {each["symbol"]} | {each["clause"]} | {do} |'
                    for each in these if each["source"] == source]
            out += sorted(rows) + [""]
    return "\n".join(out).rstrip() + "\n"


def header(found):
    """The count, for the page."""
    return ("#pragma once\n\nnamespace ovenproof::evidence {\n\n"
            "/// Places whose value was not checked against its source: the rows of docs/unverified.md.\n"
            "/// Written by tests/build/unverified.py, as that list is.\n"
            f"inline constexpr int unverified_places = {len(found)};\n\n"
            "}  // namespace ovenproof::evidence\n")


def stale(root, found):
    """Complaints about what is written and not as it would be written now."""
    for path, now in ((LIST, page(found)), (COUNT, header(found))):
        try:
            with open(os.path.join(root, path), encoding="utf-8") as file:
                before = file.read()
        except FileNotFoundError:
            before = ""
        if before != now:
            yield f"{path}: not as the marks are now; write it again: tests/build/unverified.py . --write"


def main():
    root = sys.argv[1]
    found, wrong = collect(root)
    if "--write" in sys.argv[2:] and not wrong:
        for path, now in ((LIST, page(found)), (COUNT, header(found))):
            with open(os.path.join(root, path), "w", encoding="utf-8") as file:
                file.write(now)
    wrong += stale(root, found)
    print("\n".join(wrong) or f"{len(found)} places are listed, each with its source")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
