"""What the survey says of all defects: a table, those that nobody notices, and the cells of the matrix."""
import hashlib
import json
import sys
from collections import Counter, defaultdict

from kinds import ALONE, BARE, BEHIND, CELL
from reasons import name_of
from survey_results import BROKEN, noticed

# What mutants.py calls a defect that the prover notices, or has shown to make no difference to anybody.
PROVED = ("refuted", "behind", "vacuous", "dead", "stuck", "equivalent", "silent")


def caught_text(places, library, all_results):
    """Which case noticed which cleared cell, for check_caught.py."""
    lines = []
    for title, results in ((ALONE, all_results.by_number), (BEHIND, all_results.behind), (BARE, all_results.bare)):
        lines.append(f"[{title}]")
        lines += [f"{place['what']}: {library.items[results[place['number']]['item']]['name']}" for place in places
                  if place["kind"] == CELL and results.get(place["number"], {}).get("end") == "killed"]
    return "\n".join(lines) + "\n"


def read_proved(program, results, places):
    """What mutants.py found of the same places with this program: {number: what the prover says of the defect}."""
    lines = results.read_text(encoding="utf-8").splitlines()
    if lines[0] != hashlib.sha256(program.read_bytes() + places.read_bytes()).hexdigest():
        print(f"{results} is of another firmware, and not counted: ./run.sh mutants", file=sys.stderr)
        return {}
    found = {}
    for line in lines[1:]:
        result = json.loads(line)
        end = "behind" if result["machine"] == "behind" and result["end"] == "refuted" else result["end"]
        if end in PROVED:
            found[result["defect"]] = end
    return found


class Verdicts:
    """Who notices which defect."""

    def __init__(self, results, proved):
        self.results, self.proved = results, proved

    def of(self, place):
        """scenarios; else behind, units, proof; else what became of it in the scenarios."""
        number = place["number"]
        end = self.results.by_number[number]["end"]
        if end == "killed":
            return "scenarios"
        if noticed(number, self.results):
            return "behind"
        if self.results.units.get(number, {}).get("end") == "killed":
            return "units"
        return "proof" if number in self.proved else end


def table_of(places, verdicts):
    table = defaultdict(Counter)
    for place in places:
        table[place["kind"]][verdicts.of(place)] += 1
    total = sum(table.values(), Counter())
    lines = [f"{'kind of defect':31}{'places':>7}{'scenarios':>10}{'rate':>5}{'behind':>7}{'units':>6}{'proof':>6}"
             f"{'none':>5}{'no diff':>8}{'broken':>7}"]
    for kind, ends in [*sorted(table.items()), ("all", total)]:
        count, killed = sum(ends.values()), ends["scenarios"]
        lines.append(f"{kind:31}{count:7}{killed:10}{100 * killed // max(count, 1):4}%{ends['behind']:7}{ends['units']:6}"
                     f"{ends['proof']:6}{ends['survived']:5}{ends['no difference']:8}"
                     f"{sum(ends[end] for end in BROKEN):7}")
    return lines + [
        "", "scenarios: a case fails. behind: one fails where other lines of defence are taken away.",
        "units: no case, but a unit test of its folder fails. proof: neither, but the prover notices it, or has",
        "shown that nobody can. none: no difference seen. no diff: in no scenario would the defect have changed",
        "anything where it stands. broken: crashed, overdue or lost; these are no kills."]


def report(places, library, all_results, redundant, verdicts, explained, unproved):
    """Text, and whether the survey as a whole is as it must be. Of what is `unproved` it is known why the
    prover need not notice it; a scenario may."""
    reasons = {**unproved, **explained}
    results = all_results.by_number
    lines = table_of(places, verdicts)
    by = Counter(results[place["number"]]["by"] for place in places if results[place["number"]]["end"] == "killed")
    lines.append("Kills by: " + (", ".join(f"{count} {name}" for name, count in by.most_common()) or "nothing"))

    def section(title, wanted, tail):
        chosen = [place for place in places if verdicts.of(place) in wanted]
        lines.append(f"\n{title}: {len(chosen)}")
        for place in sorted(chosen, key=lambda place: name_of(place) in reasons):
            reason = reasons.get(name_of(place))
            lines.append(f"{place['file']}:{place['line']}:{place['column']}: [{place['number']}] {place['kind']}: "
                         f"{place['what']}{tail(results[place['number']])}{f': {reason}' if reason else ''}")

    section("Survivors", ("survived",),
            lambda r: f" (makes a difference in {r['items']} of {len(library.items)}, tried in {r['tried']})")
    section("Without a difference in any scenario", ("no difference",),
            lambda r: "" if r["reached"] else " (never come to)")
    section("No kills, to be looked at", BROKEN, lambda r: f" ({r['end']}: {r.get('why', '')})")

    good = True
    cells = {place["what"]: place for place in places if place["kind"] == CELL}
    by_case = {cell: verdicts.of(place) for cell, place in cells.items() if verdicts.of(place) in ("scenarios", "behind")}
    unnoticed = [cell for cell in cells if cell not in by_case and cell not in redundant]
    stale = [cell for cell in redundant if cells and (cell not in cells or cell in by_case)]
    for cell in unnoticed:
        lines.append(f"\nFAILED: cleared cell {cell} is not noticed by any scenario")
        good = False
    for cell in stale:
        lines.append(f"\nFAILED: cell {cell} is listed as redundant, but "
                     + ("is noticed" if cell in cells else "there is no such cell"))
        good = False
    named = {name_of(place) for place in places if verdicts.of(place) in ("survived", "no difference", *BROKEN)}
    for name in set(map(name_of, places)) & set(explained) - named:
        lines.append(f"\nFAILED: {name} is listed as unnoticed, but is noticed")
        good = False
    if cells:
        noticed_by = lambda found: sum(found.get(place["number"], {}).get("end") == "killed" for place in cells.values())
        lines.append(f"\nCleared cells of the matrix: {len(cells)}; noticed {noticed_by(all_results.by_number)}, noticed "
                     f"once the sequence does not follow trips {noticed_by(all_results.behind)}, once no row of the "
                     f"other kind counts {noticed_by(all_results.bare)}, listed as redundant {len(redundant)}, "
                     f"unnoticed {len(unnoticed)}")
    others = [place for place in places if place["kind"] != CELL]
    left = sum(name_of(place) in named and name_of(place) not in reasons for place in others)
    lines.append(f"\nOther defects: {len(others)}; noticed by a scenario "
                 f"{sum(verdicts.of(place) == 'scenarios' for place in others)}, noticed by nobody and not explained {left}")
    return "\n".join(lines) + "\n", good
