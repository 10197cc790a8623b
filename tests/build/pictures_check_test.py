#!/usr/bin/env python3
"""Shows that pictures_check.py notices pictures that are stale, and makes none."""
import json
import os
import stat
import subprocess
import sys
import tempfile
import unittest

import pictures_check

DOCUMENT = {"machine": {"name": "Oven"}, "summary": {"verdict": "HOLDS"}, "cycle": {}, "matrix": {}, "made": "one"}


class PicturesCheck(unittest.TestCase):
    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.scratch = scratch.name
        self.pack, self.folder = os.path.join(scratch.name, "pack"), os.path.join(scratch.name, "pictures")
        os.mkdir(self.pack)
        os.mkdir(self.folder)
        self.write(os.path.join(self.folder, "a.png"), "picture")
        self.make(DOCUMENT)
        pictures_check.record(self.pack, self.folder)

    def write(self, path, text):
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)

    def make(self, document, page="<p>page</p>"):
        text = json.dumps(document)
        self.write(os.path.join(self.pack, "evidence.json"), text)
        self.write(os.path.join(self.pack, "index.html"),
                   f'{page}<script type="application/json" id="document">{text}</script>')

    def found(self):
        return pictures_check.complaints(self.folder, pictures_check.sources(self.pack))

    def test_what_was_just_made_is_current(self):
        self.assertEqual(self.found(), [])

    def test_what_cannot_be_seen_does_not_count(self):
        self.make(DOCUMENT | {"made": "another"})
        self.assertEqual(self.found(), [])

    def test_each_source_counts(self):
        self.make(DOCUMENT | {"matrix": {"rows": 1}})
        self.assertEqual(self.found(), ["the page's matrix is another now"])
        self.make(DOCUMENT, page="<p>other</p>")
        self.assertEqual(self.found(), ["the page is another now"])

    def test_a_picture_from_elsewhere_counts(self):
        self.write(os.path.join(self.folder, "a.png"), "by hand")
        self.write(os.path.join(self.folder, "b.png"), "new")
        self.assertEqual(self.found(), [f"{name} is another picture than was made" for name in ("a.png", "b.png")])

    def test_pictures_without_a_record_are_stale(self):
        os.remove(os.path.join(self.folder, pictures_check.RECORD))
        self.assertIn("is missing", self.found()[0])

    def test_the_command_fails_and_leaves_the_pictures_alone(self):
        program = os.path.join(self.scratch, "program")
        self.write(program, f'#!/bin/sh\ncp -r "{self.pack}" "$2"\n')
        os.chmod(program, stat.S_IRWXU)
        call = [sys.executable, pictures_check.__file__, "check", self.folder, program]
        self.assertEqual(subprocess.run(call, capture_output=True).returncode, 0)
        self.make(DOCUMENT | {"summary": {"verdict": "REFUTED"}})
        before = {name: pictures_check.read(os.path.join(self.folder, name)) for name in os.listdir(self.folder)}
        for _ in range(2):
            done = subprocess.run(call, capture_output=True, text=True)
            self.assertEqual(done.returncode, 1)
            self.assertIn("the page's summary is another now", done.stderr)
        after = {name: pictures_check.read(os.path.join(self.folder, name)) for name in os.listdir(self.folder)}
        self.assertEqual(before, after)


if __name__ == "__main__":
    unittest.main()
