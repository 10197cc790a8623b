#!/usr/bin/env python3
"""Breaks the firmware one place at a time and tells which defects the scenarios notice.

First the firmware without defect must pass every scenario, and the altered copy without defect must
give the same bytes as the program that ships. Then each defect is awake in a process of its own,
with a limit of processor time, and plays the scenarios in which it makes a difference until the
first one fails: a kill. A process that crashes, takes too long or is lost has killed nothing.

A cleared cell that no scenario notices stands behind the sequence, which has stopped demanding the
output by itself. It is tried once more beside a defect that takes that first line away: the sequence
does not follow trips. Then a failure counts if it does not come without the cleared cell. What is not
noticed then, either, is tried with the rows of the other kind gone as well: a trip without inhibits, an
inhibit without trips.

Results are kept in WORK as they come: called again, the survey goes on where it was interrupted,
unless program, places or scenarios have changed. Exit status: 0 every cleared cell of the matrix
is noticed, or listed with a reason why nothing can notice it; 1 not so; 2 wrong input.
"""
import argparse
import hashlib
import json
import subprocess
import sys
from collections import Counter, defaultdict
from pathlib import Path

import units
from kinds import CELL, FIRST_LINE
from reasons import Wrong, read_reasons, read_redundant
from server import Lost, Server
from survey_report import Verdicts, caught_text, read_proved, report
from survey_results import Results, noticed
from units import NotSound
from workers import Workers

# The table itself is changed before any firmware runs: it differs in every scenario.
EVERYWHERE = ("matrix condition turned round", "matrix condition loosened")


def absolute(text):
    return Path(text).resolve()


def parse_arguments(arguments):
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", type=absolute, required=True, help="the program with the altered firmware")
    parser.add_argument("--sound", type=absolute, required=True, help="the program as it ships")
    parser.add_argument("--places", type=Path, required=True, help="defects.json of the generator")
    parser.add_argument("--redundant", type=Path, required=True, help="cells that nothing can notice, with reasons")
    parser.add_argument("--explained", type=Path, metavar="FILE",
                        help="defects that nobody notices, with the reason why that is right")
    parser.add_argument("--unproved", type=Path, metavar="FILE",
                        help="defects that the prover need not notice, with the reason; scenarios may")
    parser.add_argument("--mutants", type=Path, nargs=2, metavar=("PROGRAM", "FILE"),
                        help="the prover with the altered logic, and results.jsonl of mutants.py with it")
    parser.add_argument("--units", type=absolute, metavar="FOLDER",
                        help="folder of the altered unit tests: what no scenario notices is tried with them")
    parser.add_argument("--work", type=Path, required=True, help="folder for results; goes on from what is there")
    parser.add_argument("--only", default="", help="only places in files whose path begins so")
    parser.add_argument("--kind", default="", help="only places whose kind holds this text")
    parser.add_argument("--limit", type=int, default=300, metavar="S", help="processor seconds a defect (default 300)")
    parser.add_argument("--at-most", type=int, metavar="N",
                        help="try a defect in N cases at most, those that promise most, of as many files as can be, "
                             "and have it wake only where the case begins")
    parser.add_argument("--jobs", type=int, default=2, help="workers (default 2)")
    parser.add_argument("paths", nargs="+", help="machines, scenarios and folders")
    return parser.parse_args(arguments)


# --- what is surveyed ---

def digest_of(options):
    """Of all that a result depends on."""
    digest = hashlib.sha256()
    files = [options.program, options.places]
    for path in map(Path, options.paths):
        files += sorted(p for p in path.rglob("*") if p.is_file()) if path.is_dir() else [path]
    for path in files:
        digest.update(f"{path}\0".encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()


class Library:
    """The scenarios, and which defects make a difference in which."""

    def __init__(self, recorded):
        self.items = recorded["items"]
        self.reached = set(recorded["reached"])
        self.on_the_way = [set(each["differs"]) for each in recorded["beginnings"]]
        self.own = [set(item["differs"]) for item in self.items]
        self.files = [item["file"] for item in self.items]
        self.beside = [set(item["differs_beside"]) for item in self.items]
        self.without_trips = [set(item["differs_without_trips"]) for item in self.items]

    def orders(self, place):
        """[(item, whether its beginning has to be reached with the defect)]"""
        found = []
        for index, item in enumerate(self.items):
            beginning = item.get("beginning")
            everywhere = place["kind"] in EVERYWHERE
            on_the_way = beginning is not None and (everywhere or place["number"] in self.on_the_way[beginning])
            if everywhere or on_the_way or place["number"] in self.own[index]:
                found.append((index, on_the_way))
        return found

    def orders_beside(self, cell):
        """The same for a cell of the matrix beside the defect that takes the first line away."""
        return [(index, False) for index, cells in enumerate(self.beside) if cell["number"] in cells]

    def orders_bare(self, cell):
        """The same where the rows of the other kind are gone as well."""
        return [(index, False) for index, (cells, more) in enumerate(zip(self.beside, self.without_trips))
                if cell["number"] in cells | more]


class Experience:
    """What killed is tried first: what killed in the same file, then what killed at all, then what is quick."""

    def __init__(self):
        self.by_file, self.at_all = defaultdict(Counter), Counter()

    def learn(self, place, item):
        self.by_file[place["file"], place["kind"]][item] += 1
        self.by_file[place["file"], ""][item] += 1
        self.at_all[item] += 1

    def sort(self, place, orders, library):
        file, kind = place["file"], place["kind"]

        def promise(item):
            """Kills to be expected for the time spent."""
            kills = (0.01 + 0.1 * self.at_all[item] + self.by_file[file, ""][item] + 3 * self.by_file[file, kind][item])
            return kills / (0.01 + library.items[item]["cost_s"])

        return sorted(orders, key=lambda order: (order[1], -promise(order[0]), order[0]))


def at_most(count, orders, files):
    """The first of each file, then the second of each file ..., `count` in all, in the order they had."""
    seen, turns = Counter(), []
    for position, (item, _) in enumerate(orders):
        turns.append((seen[files[item]], position))
        seen[files[item]] += 1
    return [orders[position] for position in sorted(position for _, position in sorted(turns)[:count])]


# --- the checks that come first ---

def check_sound(options):
    """The unbroken suite passes, and the altered copy gives the same bytes when nothing is broken."""
    outputs = []
    for command in ([options.sound], [options.program, "--defect", "0"]):
        done = subprocess.run([*command, "run", "--json", "--jobs", str(options.jobs), *options.paths],
                              capture_output=True)
        if done.returncode != 0:
            raise Wrong(f"{command[0]} without defect: exit status {done.returncode}: the scenarios must pass first\n"
                        + done.stderr.decode(errors="replace")[-2000:])
        outputs.append(done.stdout)
    if outputs[0] != outputs[1]:
        raise Wrong("the altered copy without defect gives other results than the program that ships")


def recorded_library(options, digest, first_line):
    file, mark = options.work / "record.json", options.work / "record.digest"
    if not (file.exists() and mark.exists() and mark.read_text(encoding="utf-8") == digest):
        print("checking that all scenarios pass without defect, and come out the same", file=sys.stderr)
        check_sound(options)
        print("noting which defects make a difference in which scenario", file=sys.stderr)
        file.write_text(json.dumps(record(options, first_line)), encoding="utf-8")
        mark.write_text(digest, encoding="utf-8")
    return Library(json.loads(file.read_text(encoding="utf-8")))


def record(options, first_line):
    """Each job notes its share."""
    parts = [options.work / f"record.{share}.json" for share in range(options.jobs)]
    recorders = [subprocess.Popen([options.program, "--record", part, str(first_line), str(share), str(options.jobs),
                                   *options.paths], stderr=subprocess.PIPE) for share, part in enumerate(parts)]
    problems = [recorder.communicate()[1].decode(errors="replace") for recorder in recorders]
    if any(recorder.returncode != 0 for recorder in recorders):
        raise Wrong("".join(problems))
    shares = [json.loads(part.read_text(encoding="utf-8")) for part in parts]
    for part in parts:
        part.unlink()
    whole = {key: [next((one for one in each if one is not None), None) for each in zip(*(s[key] for s in shares))]
             for key in ("items", "beginnings")}
    return {**whole, "reached": sorted(set().union(*(share["reached"] for share in shares)))}


# --- the survey itself ---

class Survey(Workers):
    def __init__(self, options, places, library, results):
        super().__init__(options.jobs, "")
        self.options, self.places, self.library, self.results = options, places, library, results
        self.experience, self.beside = Experience(), None
        by_number = {place["number"]: place for place in places}
        for result in results.by_number.values():
            if result["end"] == "killed" and result["defect"] in by_number:
                self.experience.learn(by_number[result["defect"]], result["item"])
        self.begin([place for place in places if not self.is_done(place)])

    def is_done(self, place):
        """Judged, and if it survived, in as many cases as are now to be tried, or noticed by a unit test."""
        result = self.results.by_number.get(place["number"])
        if result is None or result["end"] != "survived":
            return result is not None
        if self.options.at_most is None:
            return "brief" not in result
        if self.results.units.get(place["number"], {}).get("end") == "killed":
            return True
        return result.get("at_most", result["items"]) >= self.options.at_most

    def behind_the_first_line(self, first_line):
        """Cells that nothing noticed, to be tried with the sequence's own reaction taken away."""
        self.beside = {"beside": first_line}
        self.begin([place for place in self.places if place["kind"] == CELL
                    and self.results.by_number[place["number"]]["end"] in ("survived", "no difference")
                    and place["number"] not in self.results.behind])

    def with_nothing_else(self):
        """Cells that were not noticed then, to be tried without the rows of the other kind."""
        self.beside = {**self.beside, "alone": True}
        self.begin([place for place in self.places
                    if self.results.behind.get(place["number"], {}).get("end") in ("survived", "no difference")
                    and place["number"] not in self.results.bare])

    def take(self):
        """The next defect that some scenario could notice, and its orders."""
        with self.lock:
            while (place := self.next()) is not None:
                orders = self.orders(place)
                if orders:
                    return place, len(orders), self.to_try(place, orders)
                result = {"defect": place["number"], "end": "no difference",
                          "reached": place["number"] in self.library.reached}
                self.results.add({**result, **(self.beside or {})})
        return None

    def orders(self, place):
        if self.beside is None:
            return self.library.orders(place)
        return self.library.orders_bare(place) if "alone" in self.beside else self.library.orders_beside(place)

    def to_try(self, place, orders):
        orders = self.experience.sort(place, orders, self.library)
        if self.options.at_most is None or self.beside is not None:
            return orders
        cases = [order for order in orders if "beginning" in self.library.items[order[0]]]  # no whole cycles
        return at_most(self.options.at_most, cases, self.library.files)

    def work(self):
        server = None
        try:
            while (taken := self.take()) is not None:
                server = server or self.start()
                place, items, orders = taken
                result = {**self.ask(server, place, orders), "items": items, "tried": len(orders)}
                with self.lock:
                    self.results.add(result)
                    if result["end"] == "killed":
                        self.experience.learn(place, result["item"])
                    self.tell()
        finally:
            if server:
                server.close()

    def start(self):
        server = Server(self.options.program, self.options.paths)
        if server.items != [item["name"] for item in self.library.items]:
            raise Wrong("the server does not know the scenarios that were recorded")
        return server

    def ask(self, server, place, orders):
        order = {"defect": place["number"], "limit_s": self.options.limit, "items": [item for item, _ in orders],
                 "own_beginning": [own for _, own in orders]}
        more = self.beside or ({"brief": True, "at_most": self.options.at_most} if self.options.at_most else {})
        return {**server.ask({**order, **more}), **more}


class UnitTests(Workers):
    """What no scenario notices, tried with the unit tests of its folder."""

    def __init__(self, options, places, results):
        super().__init__(options.jobs, "unit tests: ")
        self.options, self.results = options, results
        self.begin([place for place in places if not noticed(place["number"], results)
                    and place["number"] not in results.units])

    def work(self):
        while True:
            with self.lock:
                place = self.next()
            if place is None:
                return
            folder = place["file"].split("/")[1]
            result = units.run(self.options.units, folder, place["number"], self.options.limit)
            with self.lock:
                self.results.add({**result, "defect": place["number"], "units": folder})
                self.tell()


def main(arguments):
    options = parse_arguments(arguments)
    try:
        redundant = read_redundant(options.redundant)
        explained = read_reasons(options.explained) if options.explained else {}
        unproved = read_reasons(options.unproved) if options.unproved else {}
        everything = json.loads(options.places.read_text(encoding="utf-8"))
        places = [place for place in everything
                  if place["file"].startswith(options.only) and options.kind in place["kind"]]
        if not places:
            raise Wrong("no place is of that file and kind")
        if len(places) < len(everything):
            # Part of the matrix says nothing of the rest of the list.
            seen = {place["what"] for place in places if place["kind"] == CELL}
            redundant = {cell: reason for cell, reason in redundant.items() if cell in seen}
        options.work.mkdir(parents=True, exist_ok=True)
        digest = digest_of(options)
        first_line = next((place["number"] for place in everything
                           if (place["kind"], place["what"]) == FIRST_LINE), None)
        library = recorded_library(options, digest, first_line or 0)
        results = Results(options.work / "results.jsonl", digest)
        survey = Survey(options, places, library, results)
        survey.run()
        if first_line:
            survey.behind_the_first_line(first_line)
            survey.run()
            survey.with_nothing_else()
            survey.run()
        if options.units:
            units.check_sound(options.units, options.limit)
            UnitTests(options, places, results).run()
        proved = read_proved(*options.mutants, options.places) if options.mutants else {}
        text, good = report(places, library, results, redundant, Verdicts(results, proved), explained, unproved)
    except (Wrong, Lost, NotSound, OSError) as wrong:
        print(f"survey.py: {wrong}", file=sys.stderr)
        return 2
    (options.work / "report.txt").write_text(text, encoding="utf-8")
    (options.work / "caught_cells.txt").write_text(caught_text(places, library, results), encoding="utf-8")
    print(text, end="")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
