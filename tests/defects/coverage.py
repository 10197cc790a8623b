#!/usr/bin/env python3
"""Takes one diagnostic after the other out of the firmware and runs the campaign of the failure mode that it
notices: the coverage of the component must fall, and that of the component beside it must not.

Prints a line for each diagnostic. Exit status: 0 each figure fell; 1 one did not; 2 wrong input.
"""
import argparse
import json
import subprocess
import sys
from pathlib import Path

# The defect, by file, kind and what; the failure mode that only it notices; the component in the machine
# file; and one beside it with a mode that another diagnostic notices.
DIAGNOSTICS = [
    ("firmware/conditioning/oven_temperature.hpp", "result forced", "disagree_: always false",
     ("TE-1A.slipped", "thermocouple A"), ("Q2.welded", "contactor Q2")),
    ("firmware/control/timer_bank.hpp", "timer ignored", "k2_not_open: never elapsed",
     ("Q2.welded", "contactor Q2"), ("TE-1A.slipped", "thermocouple A")),
]


def number_of(places, file, kind, what):
    found = [each["number"] for each in places
             if (each["file"], each["kind"], each["what"]) == (file, kind, what)]
    if len(found) != 1:
        sys.exit(f"{len(found)} places are \"{kind}: {what}\" in {file}: expected one")
    return found[0]


def coverages(command, machine, modes):
    """Coverage of each component, from a campaign of these modes alone."""
    named = [part for mode in modes for part in ("--mode", mode)]
    done = subprocess.run([*command, "campaign", machine, "--json", *named], capture_output=True, text=True)
    if done.returncode not in (0, 1):
        sys.exit(f"{' '.join(map(str, command))}: exit status {done.returncode}\n{done.stderr}")
    return {component["name"]: component["coverage"]
            for function in json.loads(done.stdout)["safety_functions"]
            for component in function["components"]}


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--program", type=Path, required=True, help="the program with the altered firmware")
    parser.add_argument("--sound", type=Path, required=True, help="the program as it ships")
    parser.add_argument("--places", type=Path, required=True, help="defects.json of the generator")
    parser.add_argument("--machine", type=Path, required=True, help="machine file")
    arguments = parser.parse_args()
    places = json.loads(arguments.places.read_text(encoding="utf-8"))
    modes = sorted({mode for _, _, _, (mode, _), _ in DIAGNOSTICS})
    whole = coverages([arguments.sound], arguments.machine, modes)
    bad = 0
    for file, kind, what, (_, component), (_, beside) in DIAGNOSTICS:
        number = number_of(places, file, kind, what)
        without = coverages([arguments.program, "--defect", str(number)], arguments.machine, modes)
        fell = without[component] < whole[component] and without[beside] == whole[beside]
        bad += not fell
        print(f"{what} in {file}: coverage of {component} {whole[component]:.0%} -> {without[component]:.0%}, "
              f"of {beside} {whole[beside]:.0%} -> {without[beside]:.0%}{'' if fell else ': NOT AS IT MUST BE'}")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
