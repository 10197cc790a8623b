"""What the survey found of each defect, kept so that it can go on later."""
import json

BROKEN = ("crashed", "overdue", "lost")


class Results:
    """Kept in a file, a line each, the digest first."""

    def __init__(self, path, digest):
        # behind: with the first line taken away; bare: with the rows of the other kind gone, too
        self.by_number, self.behind, self.bare, self.units = {}, {}, {}, {}
        lines = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
        if lines and lines[0] == digest:
            for line in lines[1:]:
                try:
                    result = json.loads(line)
                except json.JSONDecodeError:  # cut short when the survey was interrupted
                    continue
                if result["end"] not in BROKEN:  # those are tried again
                    self.keep(result)
        self.file = open(path, "w", encoding="utf-8")
        self.file.write(digest + "\n")
        for results in (self.by_number, self.behind, self.bare, self.units):
            for result in results.values():
                self.write(result)

    def keep(self, result):
        kept = (self.bare if "alone" in result else self.behind if "beside" in result
                else self.units if "units" in result else self.by_number)
        kept[result["defect"]] = result

    def write(self, result):
        self.file.write(json.dumps(result) + "\n")
        self.file.flush()

    def add(self, result):
        self.keep(result)
        self.write(result)


def noticed(number, results):
    """By a scenario."""
    return any(found.get(number, {}).get("end") == "killed"
               for found in (results.by_number, results.behind, results.bare))
