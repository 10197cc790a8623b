#!/usr/bin/env python3
"""Proves the logic with a defect, and plays the counterexample on the whole oven: it must violate the interlock
there with the defect, and pass without.

Delays are assumed to be over at once and time limits never, which makes proofs short, and settings to be
valid, as they are in a run: what is refuted so is refuted. What is not is proved once more without that.

With --list FILE each interlock of the machine must be in the file, under one of the headings of HEADINGS, and
what stands below it must come about. With --results FILE it is found out: for each interlock that refuted a
defect in mutants.py, such defects are tried until it is shown, and lines for the list are printed.
Exit status: 0 all as listed, or found out; 1 not so; 2 wrong input.
"""
import argparse
import json
import re
import subprocess
import sys
from collections import Counter, defaultdict
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from reasons import Wrong, name_of

LIMITS = ("purge_timeout", "heating_timeout", "cooling_timeout", "arm_expiry")
# What becomes of the scenario of a counterexample, on the oven with the defect and on the sound one.
SHOWN = "violated with the defect, passes without"
WAITS = "violated with the defect, the sound oven waits for a step in vain"
CANNOT = "the oven cannot follow: "  # and why
NONE = "no defect of one place violates it: "  # and why
HEADINGS = (SHOWN, WAITS, CANNOT, NONE)


def parse_arguments(arguments):
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", type=Path, required=True, help="the program with the altered firmware")
    parser.add_argument("--sound", type=Path, required=True, help="the program as it ships")
    parser.add_argument("--places", type=Path, required=True, help="defects.json of the generator")
    parser.add_argument("--timers", type=Path, required=True, help="timers.hpp of the logic")
    parser.add_argument("--machine", type=Path, required=True, help="machine file")
    parser.add_argument("--work", type=Path, required=True, help="folder for the scenarios")
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("--list", type=Path, metavar="FILE", help="what must come about, an interlock a line")
    what.add_argument("--results", type=Path, metavar="FILE", help="results.jsonl of mutants.py")
    parser.add_argument("--tries", type=int, default=6, metavar="N", help="defects for one interlock (default 6)")
    parser.add_argument("--jobs", type=int, default=2, help="interlocks at once (default 2)")
    return parser.parse_args(arguments)


def assumptions(timers_text):
    inside = re.search(r"enum class Timer[^{]*\{(.*?)\bcount\b", timers_text, re.DOTALL)[1]
    found = ["--assume", "settings_valid=true"]
    for timer in re.findall(r"^\s*(\w+),", inside, re.MULTILINE):
        found += ["--assume", f"{timer}_elapsed={'false' if timer in LIMITS else 'true'}"]
    return found


def played(command, scenario, interlock):
    """passes, violated (the interlock is), other (something else fails), stuck (a step waits in vain)."""
    done = subprocess.run([*command, "run", "--json", scenario], capture_output=True, text=True)
    if done.returncode not in (0, 1):
        return f"exit status {done.returncode}"
    case = json.loads(done.stdout)["cases"][0]
    if any(each["name"] == interlock and each["outcome"] == "violated" for each in case["expectations"]):
        return "violated"
    if case["problems"]:
        return "stuck"
    return "passes" if done.returncode == 0 else "other"


class Replay:
    def __init__(self, options):
        self.options = options
        self.assume = assumptions(options.timers.read_text(encoding="utf-8"))

    def interlocks(self):
        """Ids of all that the machine has, but for those that speak of what a run does not show."""
        done = subprocess.run([self.options.sound, "prove", "--json", self.options.machine], capture_output=True, text=True)
        if done.returncode != 0:
            raise Wrong(f"{self.options.machine} is not proved: {done.stderr.strip()}")
        return [each["id"] for each in json.loads(done.stdout)["configurations"][0]["interlocks"]
                if "answer." not in each["property"]]

    def counterexample(self, interlock, place):
        """The scenario that the proof of the logic with the defect writes, or None."""
        folder = self.options.work / f"{interlock}_{place['number']}"
        folder.mkdir(parents=True, exist_ok=True)
        for assume in (self.assume, []):
            for old in folder.glob("*.yaml"):
                old.unlink()
            done = subprocess.run([*self.broken(place), "prove", "--jobs", "1", "--first-violation", "--property", interlock, *assume, "--out",
                                   folder, self.options.machine], capture_output=True, text=True)
            if done.returncode not in (0, 1):
                raise Wrong(f"proof of {interlock} with defect {place['number']} ends with status {done.returncode}")
            for file in folder.glob("refuted_*.yaml"):
                return file
        return None

    def broken(self, place):
        return [self.options.program, "--defect", str(place["number"])]

    def replayed(self, interlock, place, sound=True):
        """(with the defect, without it)"""
        file = self.counterexample(interlock, place)
        if file is None:
            return "not refuted", ""
        return (played(self.broken(place), file, interlock),
                played([self.options.sound], file, interlock) if sound else "")


def read_refuted(path, places):
    """[(interlock, defects that it refutes: of each kind the one with the shortest run, then the others)]"""
    by_number = {place["number"]: place for place in places}
    by_interlock = defaultdict(list)
    for line in path.read_text(encoding="utf-8").splitlines()[1:]:
        result = json.loads(line)
        if result["end"] == "refuted" and result["machine"] in (0, "brief") and result["defect"] in by_number:
            by_interlock[result["by"]].append((result["depth"], result["defect"]))
    for interlock, refuted in sorted(by_interlock.items()):
        first, others, kinds = [], [], set()
        for _, number in sorted(refuted):
            place = by_number[number]
            (others if place["kind"] in kinds else first).append(place)
            kinds.add(place["kind"])
        yield interlock, first + others


def found_out(replay, interlock, places):
    """The heading, and the line below it."""
    best = (CANNOT + "?", interlock)
    for place in places:
        ends = replay.replayed(interlock, place)
        if ends == ("violated", "passes"):
            return SHOWN, f"{interlock}: {name_of(place)}"
        if ends == ("violated", "stuck"):
            best = (WAITS, f"{interlock}: {name_of(place)}")
    return best


def read_list(path, places):
    """[(interlock, heading, place)]; no place where nothing is played."""
    by_name = {name_of(place): place for place in places}
    listed, heading = [], None
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if not line.strip() or line.startswith("#"):
            continue
        if line.startswith("[") and line.endswith("]") and line[1:-1].startswith(HEADINGS):
            heading = line[1:-1]
            continue
        interlock, _, name = line.partition(": ")
        follows = heading in (SHOWN, WAITS)
        if heading is None or (name not in by_name if follows else name):
            raise Wrong(f"{path}:{number}: expected a heading in square brackets, and below it 'INTERLOCK: DEFECT', or "
                        "'INTERLOCK' alone where there is none to play")
        if interlock in (each[0] for each in listed):
            raise Wrong(f"{path}:{number}: {interlock} is listed twice")
        listed.append((interlock, heading, by_name.get(name)))
    return listed


def check(replay, listed, jobs):
    """Lines to print, and whether all is as listed."""
    lines, ids = [], replay.interlocks()
    lines += [f"{each} is not listed: show a defect that violates it on the oven" for each in ids
              if each not in (one[0] for one in listed)]
    lines += [f"{each[0]} is no interlock of the machine" for each in listed if each[0] not in ids]

    def tried(one):
        interlock, heading, place = one
        if place is None:
            return None
        # A sound oven waits for a simulated day: that takes long to see, and it is a remark only.
        with_defect, without = replay.replayed(interlock, place, sound=heading == SHOWN)
        expected = ("violated", "passes" if heading == SHOWN else "")
        if (with_defect, without) == expected:
            return None
        return f"{interlock}: {name_of(place)}: {with_defect} with the defect" + (f", {without} without" if without else "")

    with ThreadPoolExecutor(jobs) as pool:
        lines += [line for line in pool.map(tried, listed) if line]
    return lines, not lines


def main(arguments):
    options = parse_arguments(arguments)
    replay = Replay(options)
    try:
        places = [p for p in json.loads(options.places.read_text(encoding="utf-8"))
                  if p["file"].startswith("firmware/logic/")]
        if options.list:
            listed = read_list(options.list, places)
            lines, good = check(replay, listed, options.jobs)
            for line in lines:
                print(line)
            headings = Counter(heading.partition(":")[0] for _, heading, _ in listed)
            print(f"{len(listed)} interlocks: " + "; ".join(f"{count} {heading}" for heading, count in headings.most_common()))
            return 0 if good else 1
        by_heading = defaultdict(list)
        with ThreadPoolExecutor(options.jobs) as pool:
            for heading, line in pool.map(lambda each: found_out(replay, each[0], each[1][:options.tries]),
                                          read_refuted(options.results, places)):
                by_heading[heading].append(line)
                print(f"{line}: {heading}", file=sys.stderr)
        for heading, below in by_heading.items():
            print(f"[{heading}]", *below, "", sep="\n")
        return 0
    except (Wrong, OSError) as wrong:
        print(f"replay_counterexamples.py: {wrong}", file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
