#!/usr/bin/env python3
"""Proves the logic with one defect after the other, and plays each refutation on the whole oven: it must
violate the interlock there with the defect, and pass without.

Delays are assumed to be over at once and time limits never, which makes proofs short, and settings to be
valid, as they are in a run: what is refuted so is refuted. What is not is proved once more without that. Prints a line for each defect, or with --results
for each interlock, and what became of all. Exit status: 0 the refutation of each defect that is listed in
--must violates its interlock with the defect and passes without; 1 not so; 2 wrong input.
"""
import argparse
import json
import re
import subprocess
import sys
from collections import Counter, defaultdict
from pathlib import Path

LIMITS = ("purge_timeout", "heating_timeout", "arm_expiry")


def parse_arguments(arguments):
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", type=Path, required=True, help="the program with the altered firmware")
    parser.add_argument("--sound", type=Path, required=True, help="the program as it ships")
    parser.add_argument("--places", type=Path, required=True, help="defects.json of the generator")
    parser.add_argument("--timers", type=Path, required=True, help="timers.hpp of the logic")
    parser.add_argument("--machine", type=Path, required=True, help="machine file")
    parser.add_argument("--work", type=Path, required=True, help="folder for the scenarios")
    parser.add_argument("--must", type=Path, help="names of the defects that must be shown, a line each")
    parser.add_argument("--results", type=Path, metavar="FILE",
                        help="results.jsonl of mutants.py: each interlock that refuted a defect there, by such defects "
                             "until it is shown")
    parser.add_argument("--tries", type=int, default=6, metavar="N", help="defects for one interlock (default 6)")
    parser.add_argument("--kind", default="", help="else: all places of the logic whose kind holds this text")
    parser.add_argument("--every", type=int, default=1, metavar="N", help="only every Nth of them")
    return parser.parse_args(arguments)


def name_of(place):
    return f"{place['kind']}: {place['what']}"


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

    def refutations(self, place, *only):
        """The scenarios that the proof of the logic with the defect writes; or what became of it."""
        folder = self.options.work / str(place["number"])
        folder.mkdir(parents=True, exist_ok=True)
        for assume in (self.assume, []):
            for old in folder.glob("*.yaml"):
                old.unlink()
            done = subprocess.run([*self.broken(place), "prove", "--jobs", "1", *only, *assume, "--out", folder,
                                   self.options.machine], capture_output=True, text=True)
            if done.returncode not in (0, 1):
                return f"proof ends with status {done.returncode}"
            if files := sorted(folder.glob("refuted_*.yaml")):
                return files
        return "not refuted" if done.returncode else "proved"

    def broken(self, place):
        return [self.options.program, "--defect", str(place["number"])]

    def replayed(self, place, file):
        """(interlock, with the defect, without it)"""
        interlock = file.stem.removeprefix("refuted_")
        return (interlock, played(self.broken(place), file, interlock), played([self.options.sound], file, interlock))

    def defect(self, place):
        """(what became of it, told in full)"""
        found = self.refutations(place)
        if isinstance(found, str):
            return found, ""
        told = []
        for file in found:
            told.append(self.replayed(place, file))
            if told[-1][1:] == SHOWN:
                break
        return end_of(told), " (" + "; ".join(" ".join(each) for each in told) + ")"

    def interlock(self, name, places):
        """The same for an interlock and defects that it refutes."""
        told = []
        for place in places:
            files = self.refutations(place, "--property", name)
            if isinstance(files, str):
                continue
            told.append((f"[{place['number']}]", *self.replayed(place, files[0])[1:]))
            if told[-1][1:] == SHOWN:
                break
        return end_of(told), " (" + "; ".join(" ".join(each) for each in told) + ")"


SHOWN = ("violated", "passes")


def end_of(told):
    pairs = {each[1:] for each in told}
    return ("shown" if SHOWN in pairs
            else "shown, but the sound oven cannot follow" if any(p[0] == "violated" for p in pairs)
            else "the oven cannot follow" if all(p[0] == "stuck" for p in pairs) else "not shown")


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


def main(arguments):
    options = parse_arguments(arguments)
    places = [p for p in json.loads(options.places.read_text(encoding="utf-8"))
              if p["file"].startswith("firmware/logic/") and options.kind in p["kind"]][::options.every]
    must = None
    if options.must:
        lines = options.must.read_text(encoding="utf-8").splitlines()
        must = [line for line in lines if line and not line.startswith("#")]
        by_name = {name_of(place): place for place in places}
        unknown = [name for name in must if name not in by_name]
        if unknown:
            print(f"replay_refutations.py: no such defect: {', '.join(unknown)}", file=sys.stderr)
            return 2
        places = [by_name[name] for name in must]
    replay, ends, good = Replay(options), Counter(), True

    def tell(name, end, told):
        ends[end] += 1
        print(f"{name}: {end}{told}", flush=True)

    if options.results:
        for interlock, refuted in read_refuted(options.results, places):
            tell(interlock, *replay.interlock(interlock, refuted[:options.tries]))
    else:
        for place in places:
            end, told = replay.defect(place)
            good = good and (must is None or end == "shown")
            tell(f"[{place['number']}] {name_of(place)}", end, told)
    print(f"{sum(ends.values())} {'interlocks' if options.results else 'defects'}: "
          + ", ".join(f"{count} {end}" for end, count in ends.most_common()))
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
