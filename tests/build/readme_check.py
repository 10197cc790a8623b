#!/usr/bin/env python3
"""Checks that the output quoted in the README is what the program prints.

usage: readme_check.py README PROGRAM ARGUMENT...

The block that begins with `$ ./run.sh demo` is compared line by line with what the program prints
when run so; a line `...` stands for any lines left out.
"""
import re
import subprocess
import sys


def quoted(readme):
    blocks = re.findall(r"^```console\n\$ \./run\.sh demo\n(.*?)^```", readme, re.MULTILINE | re.DOTALL)
    if len(blocks) != 1:
        sys.exit(f"{len(blocks)} blocks quote ./run.sh demo, expected one")
    return blocks[0].splitlines()


def first_difference(quote, output):
    """The quoted line that the output does not have in its place, or None."""
    position, anywhere = 0, False
    for line in quote:
        if line == "...":
            anywhere = True
            continue
        while anywhere and position < len(output) and output[position] != line:
            position += 1
        if position >= len(output) or output[position] != line:
            return line
        position, anywhere = position + 1, False
    return None


def main():
    path, *command = sys.argv[1:]
    with open(path, encoding="utf-8") as file:
        quote = quoted(file.read())
    done = subprocess.run(command, capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{' '.join(command)}: exit status {done.returncode}\n{done.stderr}")
    if (line := first_difference(quote, done.stdout.splitlines())) is not None:
        sys.exit(f"{path} quotes a line that the program does not print there:\n{line}")
    print(f"{len(quote)} quoted lines are as printed")


if __name__ == "__main__":
    main()
