#!/usr/bin/env python3
"""Writes the pack that the browser tests look at, shows that nothing is written where nothing may
be, and that --verify makes it again with another number of jobs and notices what has changed.

usage: pack_test.py PROGRAM FOLDER   (from the root of the source tree)
"""
import hashlib
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time

MACHINE = "tests/evidence/oven.yaml"
CASES = ["tests/evidence/cases.yaml", "tests/evidence/other.yaml"]


def run(program, *words, within="."):
    return subprocess.run([os.path.abspath(program), "-q", *words], capture_output=True, text=True, cwd=within)


def evidence(program, *words, within="."):
    return run(program, "evidence", *words, within=within)


def make(program, out, *more, machine=MACHINE, within="."):
    return evidence(program, "--cycles", "1", "--out", out, *more, machine, within=within)


def contents(folder):
    files = {}
    for below, _, names in os.walk(folder):
        for name in names:
            path = os.path.join(below, name)
            with open(path, "rb") as file:
                files[os.path.relpath(path, folder)] = file.read()
    return files


def read(path):
    with open(path, "rb") as file:
        return file.read()


def check(condition, what):
    if not condition:
        sys.exit(f"not so: {what}")


def check_fits(text):
    check(all(len(line) <= 80 for line in text.splitlines()), f"80 columns are enough:\n{text}")


def check_manifest(files):
    manifest = json.loads(files["manifest.json"])
    for output in manifest["outputs"]:
        text = files[output["path"]]
        check(output["bytes"] == len(text), f"{output['path']} has its size in the manifest")
        check(output["sha256"] == hashlib.sha256(text).hexdigest(), f"{output['path']} has its hash in the manifest")
    check({each["path"] for each in manifest["outputs"]} == set(files) - {"manifest.json"}, "all outputs are listed")
    for entry in manifest["inputs"]:
        with open(entry["path"], "rb") as file:
            check(entry["sha256"] == hashlib.sha256(file.read()).hexdigest(), f"{entry['path']} has its hash")
        check(files[f"inputs/{entry['path']}"] == read(entry["path"]), f"{entry['path']} is in the pack")
    check({entry["path"] for entry in manifest["inputs"]} >= {MACHINE, *CASES}, "all inputs are listed")


def check_refusals(program, scratch):
    precious = os.path.join(scratch, "precious")
    os.mkdir(precious)
    with open(os.path.join(precious, "notes.txt"), "w", encoding="utf-8") as file:
        file.write("mine")
    done = make(program, precious, "--no-proof")
    check(done.returncode == 2 and "neither empty nor an evidence pack" in done.stderr, "a folder that is no pack is refused")
    check(os.listdir(precious) == ["notes.txt"], "a refused folder is left alone")
    done = make(program, os.path.join(scratch, "new"), "--no-proof", "--scenarios", "no/such/file.yaml")
    check(done.returncode == 2 and "no/such/file.yaml" in done.stderr, "a scenario that is not there is named")
    for words in (["--verify", precious], ["--verify", scratch], ["--verify", precious, "--cycles", "1"], [MACHINE], ["--out", "x"]):
        done = evidence(program, *words)
        check(done.returncode == 2 and done.stderr and not done.stdout, f"{words} is refused")
    check(os.listdir(scratch) == ["precious"], "nothing is written when an input is wrong")


class Copy:
    """A pack of the same oven, made quickly, with the inputs in a folder of their own."""

    def __init__(self, program, scratch):
        self.program = program
        self.folder = os.path.join(scratch, "copy")
        os.mkdir(self.folder)
        shutil.copy(MACHINE, os.path.join(self.folder, "oven.yaml"))
        done = make(program, "pack", "--no-proof", "--jobs", "1", machine="oven.yaml", within=self.folder)
        check(done.returncode == 0, f"the pack is made:\n{done.stderr}")

    def path(self, name):
        return os.path.join(self.folder, name)

    def change(self, name, change):
        with open(self.path(name), encoding="utf-8", newline="") as file:
            old = file.read()
        new = change(old)
        check(new != old, f"there is something to change in {name}")
        with open(self.path(name), "w", encoding="utf-8", newline="") as file:
            file.write(new)
        return old

    def verify(self):
        return evidence(self.program, "--verify", "pack", "--jobs", "3", within=self.folder)

    def differs(self, name, change, *words):
        """Verifies with one file changed, and puts it back."""
        old = self.change(name, change)
        done = self.verify()
        check(done.returncode == 1 and "DIFFERS" in done.stdout, f"{name} changed is noticed:\n{done.stdout}{done.stderr}")
        told = " ".join(done.stdout.split())
        for word in words:
            check(word in told, f"{name} changed: \"{word}\" is said:\n{done.stdout}")
        check_fits(done.stdout)
        self.change(name, lambda _: old)
        return done.stdout


def one_digit(text):
    """Another digit in the reading of a probe, half-way."""
    lines = text.split("\n")
    cells = lines[len(lines) // 2].split(",")
    cells[-1] = "7" if cells[-1] != "7" else "8"
    lines[len(lines) // 2] = ",".join(cells)
    return "\n".join(lines)


def check_verify(program, scratch):
    copy = Copy(program, scratch)
    done = copy.verify()
    check(done.returncode == 0 and "THE SAME" in done.stdout, f"a pack made with one job is the same with three:\n{done.stdout}")
    check_fits(done.stdout)

    with open(copy.path("pack/cycle.csv"), encoding="utf-8") as file:
        rows = file.read().split("\n")
    column = rows[0].rstrip("\r").split(",")[-1]
    copy.differs("pack/cycle.csv", one_digit, "cycle.csv: not the file that the manifest lists",
                 f"line {len(rows) // 2 + 1} (time [s] ", f"column {column} in the pack: 7")

    told = copy.differs("oven.yaml", lambda text: text.replace("soak: 5 min", "soak: 6 min"), "input oven.yaml, as it lies here: line 30, character 13",
                        "in the pack: soak: 5 min", "now: soak: 6 min")
    check("evidence.json" not in told, "the pack is made again from its own inputs")
    copy.differs("pack/inputs/oven.yaml", lambda text: text.replace("soak: 5 min", "soak: 6 min"),
                 "inputs/oven.yaml: not the file that the manifest lists", "evidence.json: /")
    told = copy.differs("pack/inputs/oven.yaml", lambda text: text.replace("soak: 5 min", "soak: never"),
                        "inputs/oven.yaml: not the file that the manifest lists")

    def other_build(text):
        manifest = json.loads(text)
        manifest["build"]["firmware_sources_sha256"] = "0" * 64
        return json.dumps(manifest, indent=2) + "\n"
    copy.differs("pack/manifest.json", other_build, "build: sources of the firmware in the pack: 00000000")

    copy.differs("pack/manifest.json", lambda text: text.replace('"date": ""', '"date": "yesterday"'), "manifest.json: /date")

    os.rename(copy.path("oven.yaml"), copy.path("gone.yaml"))
    done = copy.verify()
    check(done.returncode == 0 and "THE SAME" in done.stdout, f"the pack is enough:\n{done.stdout}{done.stderr}")
    os.rename(copy.path("pack/inputs/oven.yaml"), copy.path("gone again.yaml"))
    done = copy.verify()
    check(done.returncode == 2 and "inputs/oven.yaml" in done.stderr and not done.stdout, "an input that is not there is named")


def check_receiver(program, pack, scratch):
    """Who has the pack and nothing else verifies it, wherever its inputs lay."""
    alone = os.path.join(scratch, "alone")
    shutil.copytree(pack, os.path.join(alone, "pack"))
    done = evidence(program, "--verify", "pack", within=alone)
    check(done.returncode == 0 and "THE SAME" in done.stdout, f"a pack with scenarios is the same:\n{done.stdout}{done.stderr}")

    tree = os.path.join(scratch, "tree")
    for name in ("work", "ovens", "cases"):
        os.makedirs(os.path.join(tree, name))
    shutil.copy(MACHINE, os.path.join(tree, "ovens", "oven.yaml"))
    text = read(CASES[0]).decode()
    with open(os.path.join(tree, "cases", "cases.yaml"), "w", encoding="utf-8") as file:
        file.write(re.sub(r"^  - {.*titanium.*\n", "", text, flags=re.MULTILINE).replace("machine: oven.yaml", "machine: ../ovens/oven.yaml"))
    done = make(program, "pack", "--no-proof", "--scenarios", os.path.join(tree, "cases"), machine="../ovens/oven.yaml",
                within=os.path.join(tree, "work"))
    check(done.returncode == 0, f"inputs may lie above, and be named from the root:\n{done.stderr}")
    check(not any(scratch.encode() in text for text in contents(os.path.join(tree, "work", "pack")).values()),
          "the pack does not say where on this machine they lay")
    shutil.move(os.path.join(tree, "work", "pack"), os.path.join(scratch, "received"))
    shutil.rmtree(tree)
    done = evidence(program, "--verify", "received", within=scratch)
    check(done.returncode == 0 and "THE SAME" in done.stdout, f"so has its receiver:\n{done.stdout}{done.stderr}")
    with open(os.path.join(scratch, "received", "inputs", "extra.yaml"), "w", encoding="utf-8") as file:
        file.write("mine: true\n")
    done = evidence(program, "--verify", "received", within=scratch)
    check("inputs/extra.yaml: not of the pack" in done.stdout, f"what is not of the pack is named:\n{done.stdout}")
    done = make(program, "received", "--no-proof", machine=os.path.abspath(MACHINE), within=scratch)
    check(done.returncode == 2 and "inputs/extra.yaml" in done.stderr, f"and is not lost:\n{done.stderr}")


def check_killed(program, scratch):
    """Neither making nor verifying leaves anything when a signal ends it."""
    temporary, folder = os.path.join(scratch, "temporary"), os.path.join(scratch, "killed")
    os.mkdir(temporary)
    os.mkdir(folder)
    pack = os.path.join(scratch, "alone", "pack")
    for words in (["--cycles", "100", "--out", os.path.join(folder, "pack"), MACHINE], ["--verify", pack]):
        for number in (signal.SIGINT, signal.SIGTERM):
            made = subprocess.Popen([os.path.abspath(program), "-q", "evidence", *words], stdout=subprocess.DEVNULL,
                                    stderr=subprocess.PIPE, text=True,
                                    preexec_fn=lambda: signal.signal(number, signal.SIG_DFL),
                                    env=os.environ | {"TMPDIR": temporary})
            where, deadline = temporary if "--verify" in words else folder, time.monotonic() + 60
            while not os.listdir(where):
                check(made.poll() is None and time.monotonic() < deadline, f"{words} works in a folder of its own")
                time.sleep(0.005)
            made.send_signal(number)
            complaints = made.communicate(timeout=60)[1]
            check(made.returncode == -number, f"{words} ends by signal {number}: {made.returncode}")
            check(not complaints, f"{words} does not complain of files that are gone:\n{complaints}")
            check(not os.listdir(temporary) and not os.listdir(folder), f"{words} leaves nothing: {os.listdir(where)}")


def check_campaign(program, scratch):
    """A pack shows a campaign that was kept as it shows one that is run, to the byte."""
    folder = os.path.join(scratch, "campaign")
    os.mkdir(folder)
    shutil.copy(MACHINE, os.path.join(folder, "oven.yaml"))
    listed = run(program, "campaign", "--list", MACHINE)
    modes = re.findall(r"^  (\w\S*\.\w+): ", listed.stdout, re.MULTILINE)
    wanted = {"HSS-1.open", "Q1.welded", "controller.hang"}
    check(wanted < set(modes), f"the oven has these modes:\n{listed.stdout[:400]}")
    with open(os.path.join(folder, "oven.yaml"), "a", encoding="utf-8") as file:
        file.write("\ncampaign:\n  excluded:\n")
        for mode in sorted(set(modes) - wanted):
            file.write(f"    - mode: {mode}\n      reason: not needed by the test\n")
    signed = run(program, "check", "--digest", "oven.yaml", within=folder).stdout  # else all modes are injected
    with open(os.path.join(folder, "oven.yaml"), "a", encoding="utf-8") as file:
        file.write(signed.replace("by: #", "by: A. Example (invented) #").replace("date: #", "date: 2026-03-31 #"))

    few = ("--instants", "1", "--seed", "3")
    done = run(program, "campaign", "oven.yaml", "--out", "oven.db", *few, within=folder)
    check(done.returncode in (0, 1), f"the campaign is run:\n{done.stderr}")
    pack = lambda out, *words: make(program, out, "--no-proof", *words, machine="oven.yaml", within=folder)
    done = pack("run", "--campaign", *few)
    check(done.returncode in (0, 1) and "failure modes" in done.stdout, f"a pack with a campaign is made:\n{done.stdout}{done.stderr}")
    status = done.returncode
    done = pack("kept", "--campaign-file", "oven.db")
    check(done.returncode == status, f"a pack with the kept campaign is made:\n{done.stdout}{done.stderr}")
    ran, kept = contents(os.path.join(folder, "run")), contents(os.path.join(folder, "kept"))
    says_how = {"manifest.json", "evidence.json", "index.html", "inputs/oven.db"}
    check({name for name in ran.keys() | kept.keys() if ran.get(name) != kept.get(name)} == says_how, "both say the same")
    sections = [{**json.loads(files["evidence.json"]), "made": None} for files in (ran, kept)]
    check(sections[0] == sections[1], "but for the command")
    os.rename(os.path.join(folder, "oven.db"), os.path.join(folder, "away.db"))
    done = subprocess.run([os.path.abspath(program), "evidence", "--verify", "kept"], capture_output=True, text=True, cwd=folder)
    check(done.returncode == 0 and "THE SAME" in done.stdout, f"the file in the pack is enough:\n{done.stdout}{done.stderr}")
    check("inject" not in done.stderr, f"nothing is injected again:\n{done.stderr}")
    check("Not run again: the injections" in done.stdout and "kept/inputs/oven.db" in done.stdout, f"and that is said:\n{done.stdout}")
    check_fits(done.stdout)
    os.rename(os.path.join(folder, "away.db"), os.path.join(folder, "oven.db"))
    done = subprocess.run([os.path.abspath(program), "evidence", "--verify", "run"], capture_output=True, text=True, cwd=folder)
    check(done.returncode == 0 and "inject" in done.stderr and "Not run again" not in done.stdout, "others are injected again")

    done = run(program, "campaign", "oven.yaml", "--out", "half.db", "--shard", "1/2", *few, within=folder)
    done = pack("none", "--campaign-file", "half.db")
    check(done.returncode == 2 and "one part of several" in done.stderr, f"a part is refused:\n{done.stderr}")
    with open(os.path.join(folder, "oven.yaml"), "a", encoding="utf-8") as file:
        file.write("# changed\n")
    done = pack("none", "--campaign-file", "oven.db")
    check(done.returncode == 2 and "machine file" in done.stderr, f"one of another machine file is refused:\n{done.stderr}")
    done = pack("none", "--campaign-file", "oven.yaml")
    check(done.returncode == 2 and "oven.yaml" in done.stderr, f"what is no campaign is refused:\n{done.stderr}")
    for words in (["--campaign"], ["--pairs"], ["--instants", "1"], ["--seed", "3"]):
        done = pack("none", "--campaign-file", "oven.db", *words)
        check(done.returncode == 2 and "excludes" in done.stderr, f"what the file says is not asked for once more: {words}")
    check(not os.path.exists(os.path.join(folder, "none")), "nothing is written of a campaign that is refused")


def check_diff(program, pack, scratch):
    done = run(program, "diff", pack, pack)
    check(done.returncode == 0 and "SAME" in done.stdout, f"a pack is the same as itself:\n{done.stdout}")
    done = run(program, "diff", MACHINE, MACHINE)
    check(done.returncode == 0 and "SAME" in done.stdout, f"a machine is the same as itself:\n{done.stdout}")

    # The copy was made without proof and cases.
    done = run(program, "diff", pack, os.path.join(scratch, "copy", "pack"))
    check(done.returncode == 1, "packs that differ are told apart")
    check_fits(done.stdout)
    for line in ("What was done, 2", "  proof: done -> not done", "  scenarios: done -> not done"):
        check(line + "\n" in done.stdout, f"\"{line}\" is told:\n{done.stdout}")
    for heading in ("Verdicts", "Settings", "Reachable", "Build"):
        check(heading not in done.stdout, f"nothing is told of {heading}:\n{done.stdout}")

    changed = os.path.join(scratch, "changed.yaml")
    with open(MACHINE, encoding="utf-8") as old, open(changed, "w", encoding="utf-8") as new:
        new.write(old.read().replace("soak: 5 min", "soak: 6 min"))
    done = run(program, "diff", MACHINE, changed)
    check(done.returncode == 1 and "  programme.segments[1].soak: 5 min -> 6 min\n" in done.stdout, f"a setting is told:\n{done.stdout}")
    check("heating_time by formula" in done.stdout and "heat_up_time" not in done.stdout, "and what follows from it")
    done = run(program, "diff", "--json", pack, changed)
    found = json.loads(done.stdout)
    check(done.returncode == 1 and not found["same"] and found["b"]["path"] == changed, "a pack and a machine file can be compared")
    check({"group": "work", "key": "cycle", "before": "done", "after": "not done", "turn": None} in found["changes"], "what was done is told")

    broken = os.path.join(scratch, "broken")
    shutil.copytree(pack, broken)
    for text in ("", "[]", '{"format": "ovenproof-evidence", "version": 1}', '{"format": "ovenproof-evidence", "version": 99}'):
        with open(os.path.join(broken, "evidence.json"), "w", encoding="utf-8") as file:
            file.write(text)
        done = run(program, "diff", broken, pack)
        check(done.returncode == 2 and "broken" in done.stderr and not done.stdout, f"{text} is no document:\n{done.stderr}")
    for words in ([pack], [pack, "no/such/file.yaml"], [scratch, pack], [pack, __file__]):
        done = run(program, "diff", *words)
        check(done.returncode == 2 and done.stderr and not done.stdout, f"{words} is refused")


def main():
    program, out = sys.argv[1:]
    shutil.rmtree(out, ignore_errors=True)
    with tempfile.TemporaryDirectory() as scratch:
        done = make(program, out, "--jobs", "2", *(word for case in CASES for word in ("--scenarios", case)))
        check(done.returncode == 0, f"the oven holds:\n{done.stdout}{done.stderr}")
        check("index.html" in done.stdout, "the program says where the page is")
        check_manifest(contents(out))
        check_refusals(program, scratch)
        check_verify(program, scratch)
        check_receiver(program, out, scratch)
        check_killed(program, scratch)
        check_campaign(program, scratch)
        check_diff(program, out, scratch)
    print("the pack is whole, can be made again, and is written only where it may be")


if __name__ == "__main__":
    main()
