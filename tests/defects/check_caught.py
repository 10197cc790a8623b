#!/usr/bin/env python3
"""Clears one cell of the matrix after the other and plays the one case that is known to notice it.

Every cell must be listed: with the case that fails, or among the redundant ones with a reason. The list
is what a survey of the cells wrote. Exit status: 0 each case fails with its cell cleared; 1 not so;
2 wrong input.
"""
import argparse
import json
import sys
from pathlib import Path

from kinds import ALONE, BARE, BEHIND, CELL, FIRST_LINE
from reasons import Wrong, read_redundant
from server import Lost, Server

LIMIT_S = 120


def parse_arguments(arguments):
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", type=lambda text: Path(text).resolve(), required=True, help="the program with the altered firmware")
    parser.add_argument("--places", type=Path, required=True, help="defects.json of the generator")
    parser.add_argument("--redundant", type=Path, required=True, help="cells that nothing can notice, with reasons")
    parser.add_argument("--caught", type=Path, required=True, help="caught_cells.txt of a survey")
    parser.add_argument("paths", nargs="+", help="machines, scenarios and folders")
    return parser.parse_args(arguments)


def read_caught(path):
    """{cell: (case, heading)}"""
    caught, heading = {}, None
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if not line.strip() or line.startswith("#"):
            continue
        if line in (f"[{ALONE}]", f"[{BEHIND}]", f"[{BARE}]"):
            heading = line[1:-1]
            continue
        cell, _, case = line.partition(": ")
        if heading is None or not case or cell in caught:
            raise Wrong(f"{path}:{number}: expected '[{ALONE}]', '[{BEHIND}]' or '[{BARE}]', and below it "
                        "'cause / output: case', each cell once")
        caught[cell] = case, heading
    return caught


def files_of(cases, paths):
    """Only the scenarios that are played: each oven of the others would have to be brought to where they begin."""
    stems = {case.partition(" [")[0] for case in cases}
    files = [file for path in map(Path, paths) for file in ([path] if path.is_file() else path.rglob("*.yaml"))]
    return sorted(file for file in files if file.stem in stems)


def ends(server, place, item, heading, first_line):
    """What became of the item with the cell cleared; from a sound beginning first, which is quicker."""
    order = {"defect": place["number"], "limit_s": LIMIT_S, "items": [item], "own_beginning": [False]}
    if heading != ALONE:
        return server.ask({**order, "beside": first_line, "alone": heading == BARE})["end"]
    end = server.ask(order)["end"]
    return end if end != "survived" else server.ask({**order, "own_beginning": [True]})["end"]


def check(server, places, caught, redundant):
    """What is wrong, a line each."""
    cells = {place["what"]: place for place in places if place["kind"] == CELL}
    first_line = next(place["number"] for place in places if (place["kind"], place["what"]) == FIRST_LINE)
    wrong = [f"{cell}: there is no such cell" for cell in [*caught, *redundant] if cell not in cells]
    for cell, place in cells.items():
        if (cell in caught) == (cell in redundant):
            wrong.append(f"{cell}: {'both caught and redundant' if cell in caught else 'neither caught nor redundant'}")
        if cell not in caught:
            continue
        case, heading = caught[cell]
        if case not in server.items:
            wrong.append(f"{cell}: there is no case {case}")
            continue
        end = ends(server, place, server.items.index(case), heading, first_line)
        if end != "killed":
            wrong.append(f"{cell}: {case} does not fail with it cleared: {end}")
    return wrong


def main(arguments):
    options = parse_arguments(arguments)
    try:
        places = json.loads(options.places.read_text(encoding="utf-8"))
        caught, redundant = read_caught(options.caught), read_redundant(options.redundant)
        server = Server(options.program, files_of((case for case, _ in caught.values()), options.paths))
        wrong = check(server, places, caught, redundant)
        server.close()
    except (Wrong, Lost, OSError) as failure:
        print(f"check_caught.py: {failure}", file=sys.stderr)
        return 2
    for line in wrong:
        print(line)
    print(f"{len(caught)} cleared cells caught by their cases, {len(redundant)} redundant, {len(wrong)} wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
