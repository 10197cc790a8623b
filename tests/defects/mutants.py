#!/usr/bin/env python3
"""Breaks the firmware's logic one place at a time and tells which defects the prover notices.

Each defect is awake in a process of its own, with a limit of processor time. Its logic is compared
with the sound one, step by step: a defect that changes nothing there is equivalent, on this machine.
Otherwise the machine is explored until the prover objects. What it does not object to is tried on the
next machine that can be ordered, unless it is listed with a reason. What is broken in the matrix and nothing objects to is tried once more
beside a defect that takes the first line of defence away: the sequence does not follow trips.

Results are kept in WORK as they come: called again, it goes on where it was interrupted, unless the
program or the places have changed. Exit status: 0 every defect is noticed, equivalent, or listed with
the reason why no interlock need notice it; 1 not so; 2 wrong input.
"""
import argparse
import hashlib
import json
import subprocess
import sys
import threading
from collections import Counter, defaultdict
from pathlib import Path

from kinds import FIRST_LINE_IN_CYCLE
from reasons import Wrong, name_of, read_reasons
from workers import Workers

MACHINES = 32  # that can be ordered
NOTICED = ("refuted", "behind", "vacuous", "dead", "stuck")
SAME = ("equivalent", "silent")
# In place of a machine: the first one, for what is broken in the matrix. First without a closer look, then
# with the first line of defence taken away.
BRIEF, BEHIND = "brief", "behind"
BROKEN = ("crashed", "overdue", "lost", "not replayed")
OPEN = ("survived", *BROKEN)  # to be noticed, or listed with a reason
FOLDER = "firmware/logic/"


def parse_arguments(arguments):
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", type=Path, required=True, help="the prover with the altered logic")
    parser.add_argument("--places", type=Path, required=True, help="defects.json of the generator")
    parser.add_argument("--accepted", type=Path, required=True, help="defects that need not be noticed, with reasons")
    parser.add_argument("--work", type=Path, required=True, help="folder for results; goes on from what is there")
    parser.add_argument("--only", default=FOLDER, help="only places in files whose path begins so")
    parser.add_argument("--kind", default="", help="only places whose kind holds this text")
    parser.add_argument("--every", type=int, default=1, metavar="N", help="only every Nth of them")
    parser.add_argument("--machines", type=int, default=MACHINES, metavar="N",
                        help=f"only the first N machines, of which the first has every part (default {MACHINES})")
    parser.add_argument("--limit", type=int, default=900, metavar="S", help="processor seconds a defect (default 900)")
    parser.add_argument("--jobs", type=int, default=2, help="workers (default 2)")
    return parser.parse_args(arguments)


class Results:
    """Kept in a file, a line each, the digest first. What is broken is tried again, but for what is
    `listed`: numbers of defects."""

    def __init__(self, path, digest, listed):
        self.found, self.lock = {}, threading.Lock()  # by machine and defect
        lines = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
        if lines and lines[0] == digest:
            for line in lines[1:]:
                try:
                    result = json.loads(line)
                except json.JSONDecodeError:  # cut short when it was interrupted
                    continue
                if result["end"] not in BROKEN or result["defect"] in listed:
                    self.found[result["machine"], result["defect"]] = result
        self.file = open(path, "w", encoding="utf-8")
        self.file.write(digest + "\n")
        for result in self.found.values():
            self.write(result)

    def write(self, result):
        self.file.write(json.dumps(result) + "\n")
        self.file.flush()

    def add(self, result):
        with self.lock:
            self.found[result["machine"], result["defect"]] = result
            self.write(result)

    def of(self, number, machines):
        """What counts of all machines: an objection, then what is broken, then survival."""
        brief, behind = self.found.get((BRIEF, number)), self.found.get((BEHIND, number))
        if brief and brief["end"] in NOTICED:
            return brief
        if behind and behind["end"] == "refuted":
            return {**behind, "end": "behind"}
        all_of_it = [self.found[m, number] for m in range(machines) if (m, number) in self.found]
        for wanted in (NOTICED, BROKEN, ("survived",), ("silent",)):
            for result in all_of_it:
                if result["end"] in wanted:
                    return result
        return all_of_it[0] if all_of_it else None


class Prover(Workers):
    """Asks the program for one defect after the other, on one machine."""

    def __init__(self, options, machine, places, results, order=None):
        super().__init__(options.jobs, f"machine {machine}: ")
        self.options, self.machine, self.results, self.order = options, machine, results, order or {}
        self.begin([place for place in places if (machine, place["number"]) not in results.found])

    def take(self):
        with self.lock:
            return self.next()

    def work(self):
        number = 0 if self.machine in (BRIEF, BEHIND) else self.machine
        server = subprocess.Popen([self.options.program, str(number)], text=True, stdin=subprocess.PIPE,
                                  stdout=subprocess.PIPE)
        try:
            if not server.stdout.readline():
                raise Wrong("the program does not start")
            while (place := self.take()) is not None:
                order = {"defect": place["number"], "limit_s": self.options.limit, **self.order}
                server.stdin.write(json.dumps(order) + "\n")
                server.stdin.flush()
                answer = server.stdout.readline()
                if not answer:
                    raise Wrong(f"the program was lost at defect {place['number']}")
                self.results.add({**json.loads(answer), "machine": self.machine})
                self.tell()
        finally:
            server.stdin.close()
            server.wait()


def report(places, results, accepted, machines):
    """Text, and whether no defect is left open."""
    end_of = lambda place: results[place["number"]]["end"]
    by_number = {place["number"]: place for place in places}
    table, lines = defaultdict(Counter), []
    for place in places:
        end = end_of(place)
        if end in OPEN and name_of(place) in accepted:
            end = "accepted"
        table[place["kind"]][end] += 1
    columns = [("refuted", 8), ("behind", 7), ("vacuous", 8), ("dead", 5), ("stuck", 6), ("equivalent", 11), ("silent", 7), ("accepted", 9),
               ("survived", 9)]
    lines.append(f"{'kind of defect':30}{'places':>7}" + "".join(f"{name:>{width}}" for name, width in columns)
                 + f"{'broken':>7}")
    total = Counter()
    for kind in [*sorted(table), "all"]:
        ends = table[kind] if kind != "all" else total
        if kind != "all":
            total += ends
        lines.append(f"{kind.removeprefix('matrix ').replace('of a transition ', ''):30}{sum(ends.values()):7}"
                     + "".join(f"{ends[name]:{width}}" for name, width in columns)
                     + f"{sum(ends[end] for end in BROKEN):7}")
    lines.append("\nbehind: refuted where the sequence does not follow trips, so that the matrix holds alone.")
    by = Counter(results[p["number"]]["by"] for p in places if end_of(p) in ("refuted", "behind"))
    lines.append("\nRefuted by: " + (", ".join(f"{name} {count}" for name, count in by.most_common()) or "nothing"))
    depths = sorted(results[p["number"]]["depth"] for p in places if end_of(p) == "refuted")
    if depths:
        lines.append(f"Shortest runs: {depths[0]} to {depths[-1]} scans, half of them at most {depths[len(depths) // 2]}")

    def section(title, chosen, tail):
        lines.append(f"\n{title}: {len(chosen)}")
        for place in chosen:
            lines.append(f"[{place['number']}] {name_of(place)} (line {place['line']}){tail(results[place['number']])}")

    survivors = [p for p in places if end_of(p) == "survived"]
    dead = lambda r: f"\n    dead now: {', '.join(r['dead'])}" if r["dead"] else ""
    section("Survivors", [p for p in survivors if name_of(p) not in accepted],
            lambda r: f"\n    {r['differs']}{dead(r)}")
    section("Not noticed, for a reason", [p for p in places if end_of(p) in OPEN and name_of(p) in accepted],
            lambda r: f" ({r['end']}) {accepted[name_of(by_number[r['defect']])]}")
    section("Equivalent", [p for p in places if end_of(p) == "equivalent"], lambda r: "")
    section("Silent: remembers otherwise, says the same for ever", [p for p in places if end_of(p) == "silent"],
            lambda r: "")
    section("Broken, to be looked at", [p for p in places if end_of(p) in BROKEN and name_of(p) not in accepted],
            lambda r: f" ({r['end']}: {r.get('why', '')})")
    lines.append(f"\nMachines tried: {machines}")
    known = {name_of(place): end_of(place) for place in places}
    stale = [name for name in accepted if name in known and known[name] not in OPEN]
    for name in stale:
        lines.append(f"\nFAILED: accepted, but {known[name]}: {name}")
    good = not stale and not any(total[end] for end in OPEN)
    noticed = sum(total[end] for end in NOTICED)
    lines.append(f"\n{len(places)} defects: {noticed} noticed, {sum(total[end] for end in SAME)} equivalent, "
                 f"{total['accepted']} accepted with a reason, {total['survived']} survive, "
                 f"{sum(total[end] for end in BROKEN)} broken")
    return "\n".join(lines) + "\n", good


def main(arguments):
    options = parse_arguments(arguments)
    try:
        accepted = read_reasons(options.accepted)
        everything = json.loads(options.places.read_text(encoding="utf-8"))
        places = [place for place in everything if place["file"].startswith(FOLDER) and place["file"].startswith(options.only)
                  and options.kind in place["kind"]][::options.every]
        if not places:
            raise Wrong("no place is of that file and kind")
        options.work.mkdir(parents=True, exist_ok=True)
        digest = hashlib.sha256(options.program.read_bytes() + options.places.read_bytes()).hexdigest()
        listed = {place["number"] for place in places if name_of(place) in accepted}
        results = Results(options.work / "results.jsonl", digest, listed)
        in_matrix = [p for p in places if p["kind"].startswith("matrix")]
        first_line = [p for p in everything if (p["kind"], p["what"]) == FIRST_LINE_IN_CYCLE]
        Prover(options, BRIEF, in_matrix, results, {"brief": True}).run()
        if first_line:
            unnoticed = [p for p in in_matrix if results.found[BRIEF, p["number"]]["end"] == "unnoticed"]
            Prover(options, BEHIND, unnoticed, results, {"beside": first_line[0]["number"]}).run()
        for machine in range(options.machines):
            settled = lambda number, end: end in NOTICED or end in OPEN and number in listed
            open_ones = [place for place in places if not settled(
                place["number"], (results.of(place["number"], options.machines) or {"end": ""})["end"])]
            Prover(options, machine, open_ones, results).run()
        text, good = report(places, {p["number"]: results.of(p["number"], options.machines) for p in places},
                            accepted, options.machines)
    except (Wrong, OSError) as wrong:
        print(f"mutants.py: {wrong}", file=sys.stderr)
        return 2
    (options.work / "report.txt").write_text(text, encoding="utf-8")
    print(text, end="")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
