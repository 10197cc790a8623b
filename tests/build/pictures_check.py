#!/usr/bin/env python3
"""Checks that the pictures of the README show what the program makes now.

usage: pictures_check.py record PACK FOLDER    (only `./run.sh pictures` does: it makes the pictures)
       pictures_check.py check FOLDER PROGRAM ARGUMENT...

The record lies among the pictures: the SHA-256 of each, and of all that they were made from, which is
the page without its document, the sections of the document that they show, and the script that makes
them. Left out are the hashes of the sources, which change when nothing that can be seen does. The check
makes a pack by PROGRAM ARGUMENT... --out, and makes no picture.
"""
import hashlib
import json
import os
import re
import subprocess
import sys
import tempfile

RECORD = "made_from.json"
SHOWN = ["machine", "summary", "cycle", "matrix"]
SCRIPT = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "evidence", "pictures.mjs")
DOCUMENT = re.compile(r'(<script type="application/json" id="document">)[\s\S]*?(</script>)')


def sha256(data):
    return hashlib.sha256(data).hexdigest()


def read(path):
    with open(path, "rb") as file:
        return file.read()


def sources(pack):
    """Name and SHA-256 of all that pictures of this pack are made from."""
    page, found = DOCUMENT.subn(r"\1\2", read(os.path.join(pack, "index.html")).decode())
    if found != 1:
        sys.exit(f"{pack}/index.html holds {found} documents, expected one")
    document = json.loads(read(os.path.join(pack, "evidence.json")))
    hashes = {"the page": sha256(page.encode()), "the script that makes them": sha256(read(SCRIPT))}
    for name in SHOWN:
        hashes[f"the page's {name}"] = sha256(json.dumps(document[name], sort_keys=True).encode())
    return hashes


def pictures(folder):
    return {name: sha256(read(os.path.join(folder, name))) for name in sorted(os.listdir(folder)) if name != RECORD}


def record(pack, folder):
    with open(os.path.join(folder, RECORD), "w", encoding="utf-8") as file:
        json.dump({"pictures": pictures(folder), "made_from": sources(pack)}, file, indent=2)
        file.write("\n")


def complaints(folder, now):
    """What is not as recorded, a line each."""
    path = os.path.join(folder, RECORD)
    if not os.path.isfile(path):
        return [f"{path} is missing: nobody knows what the pictures were made from"]
    recorded = json.loads(read(path))
    lines = []
    for words, then, here in (("is another picture than was made", recorded["pictures"], pictures(folder)),
                              ("is another now", recorded["made_from"], now)):
        lines += [f"{name} {words}" for name in sorted(then.keys() | here.keys()) if then.get(name) != here.get(name)]
    return lines


def check(folder, command):
    with tempfile.TemporaryDirectory() as scratch:
        pack = os.path.join(scratch, "pack")
        done = subprocess.run([*command, "--out", pack], capture_output=True, text=True)
        if not os.path.isdir(pack):
            sys.exit(f"{' '.join(command)}: exit status {done.returncode}\n{done.stderr}")
        lines = complaints(folder, sources(pack))
    if lines:
        sys.exit("\n".join([f"the pictures in {folder} are stale:", *lines,
                            "make them with ./run.sh demo, then ./run.sh pictures; look at them before you commit"]))
    print("the pictures show what the program makes")


if __name__ == "__main__":
    if len(sys.argv) == 4 and sys.argv[1] == "record":
        record(*sys.argv[2:])
    elif len(sys.argv) > 3 and sys.argv[1] == "check":
        check(sys.argv[2], sys.argv[3:])
    else:
        sys.exit(__doc__)
