"""What the firmware's unit tests say of one defect: those of the folder that it is in."""
import re
import subprocess
from pathlib import Path

FOLDERS = ("logic", "conditioning", "control", "controller")
# Speaks of the matrix's sieve, which the altered copy does without (special.py).
WITHOUT = "the sieve of the facts*"


class NotSound(Exception):
    """The unit tests fail without defect."""


def run(folder, place, number, limit_s):
    """{"end": killed, survived, crashed or overdue, "by": the test case that failed}"""
    program = Path(folder) / f"defects_units_{place}"
    try:
        done = subprocess.run([program, str(number), "--abort-after=1", "--no-version", "--no-skipped-summary",
                               f"--test-case-exclude={WITHOUT}"], capture_output=True, timeout=limit_s)
    except subprocess.TimeoutExpired:
        return {"end": "overdue"}
    text = done.stdout.decode(errors="replace")
    if done.returncode == 0:
        return {"end": "survived"}
    if done.returncode != 1 or "FATAL ERROR" in text and "CRASHED" in text:
        return {"end": "crashed"}
    failed = re.search(r"^TEST CASE: +(.+)$", text, re.MULTILINE)
    return {"end": "killed", "by": failed[1]} if failed else {"end": "lost"}


def check_sound(folder, limit_s):
    for place in FOLDERS:
        result = run(folder, place, 0, limit_s)
        if result["end"] != "survived":
            raise NotSound(f"the unit tests of firmware/{place} without defect: {result['end']}"
                           + (f": {result['by']}" if "by" in result else ""))
