#!/usr/bin/env python3
"""Proves the logic with one defect after the other, and plays each refutation on the whole oven: it must
violate the interlock there with the defect, and pass without.

Delays are assumed to be over at once and time limits never, which makes proofs short: what is refuted so
is refuted. Prints a line for each defect and what became of all. Exit status: 0 the refutation of each
defect that is listed in --must violates its interlock with the defect and passes without; 1 not so; 2 wrong
input.
"""
import argparse
import json
import re
import subprocess
import sys
from collections import Counter
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
    parser.add_argument("--kind", default="", help="else: all places of the logic whose kind holds this text")
    parser.add_argument("--every", type=int, default=1, metavar="N", help="only every Nth of them")
    return parser.parse_args(arguments)


def name_of(place):
    return f"{place['kind']}: {place['what']}"


def assumptions(timers_text):
    inside = re.search(r"enum class Timer[^{]*\{(.*?)\bcount\b", timers_text, re.DOTALL)[1]
    found = []
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

    def defect(self, place):
        """[(interlock, with the defect, without it)], or what became of the proof."""
        broken = [self.options.program, "--defect", str(place["number"])]
        folder = self.options.work / str(place["number"])
        folder.mkdir(parents=True, exist_ok=True)
        for old in folder.glob("*.yaml"):
            old.unlink()
        done = subprocess.run([*broken, "prove", "--jobs", "1", *self.assume, "--out", folder, self.options.machine],
                              capture_output=True, text=True)
        if done.returncode not in (0, 1):
            return f"proof ends with status {done.returncode}"
        files = sorted(folder.glob("refuted_*.yaml"))
        if not files:
            return "not refuted" if done.returncode else "proved"
        found = []
        for file in files:
            interlock = file.stem.removeprefix("refuted_")
            found.append((interlock, played(broken, file, interlock), played([self.options.sound], file, interlock)))
            if found[-1][1:] == ("violated", "passes"):
                break  # shown
        return found


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
    for place in places:
        found = replay.defect(place)
        if isinstance(found, str):
            end = found
        else:
            pairs = {each[1:] for each in found}
            end = ("shown" if ("violated", "passes") in pairs
                   else "shown, but the sound oven cannot follow" if any(p[0] == "violated" for p in pairs)
                   else "the oven cannot follow" if all(p[0] == "stuck" for p in pairs) else "not shown")
        ends[end] += 1
        good = good and (must is None or end == "shown")
        told = "" if isinstance(found, str) else "; ".join(" ".join(each) for each in found)
        print(f"[{place['number']}] {name_of(place)}: {end}{' (' + told + ')' if told else ''}", flush=True)
    print(f"{len(places)} defects: " + ", ".join(f"{count} {end}" for end, count in ends.most_common()))
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
