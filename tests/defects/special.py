"""Places that no general rule finds: the matrix, the transitions of the state machine, the timers,
and the logic's memory. Each edit names the text it expects and refuses any other."""
import re

from rewriter import CALL
from tokens import Refused

OUTPUTS = ("k1", "k2", "heater_drive", "fan", "purge_valve", "process_valve", "damper", "blower")
ROW = re.compile(r"msm_tools::Row<\s*(\w+),\s*(\w+),\s*(\w+),\s*msm_tools::(None|Do<(\w+)>),"
                 r"\s*msm_tools::(None|When<(\w+)>)>")
# What the lost value of the logic's memory is where it is not the one of power-up, which is tripped.
LOST = {"first_out": "Cause::none", "latched": ""}


def replace(name, text, old, new, times=1):
    if text.count(old) != times:
        raise Refused(f"{name}: expected {old!r} {times} times, found {text.count(old)}")
    return text.replace(old, new)


def before(name, text, places, root):
    """Edits of the source as it ships."""
    if name == "firmware/logic/machine.hpp":
        return transitions(name, text, places)
    if name == "firmware/logic/matrix.cpp":
        return matrix_source(name, text)
    if name == "firmware/logic/matrix.hpp":
        return replace(name, text, "extern const std::array<Row, cause_count> matrix;",
                       "extern std::array<Row, cause_count> matrix;")
    if name == "firmware/logic/trips.cpp":
        found = re.subn(r"row\.condition\.holds\(([\w.]+), situation\)", r"present(row, \1, situation)", text)
        if found[1] != 4:
            raise Refused(f"{name}: expected 4 looks at a row's condition, found {found[1]}")
        return found[0]
    if name == "firmware/control/timer_bank.hpp":
        return timers(name, text, places, (root / "firmware/logic/timers.hpp").read_text(encoding="utf-8"))
    return text


def after(name, text, places, rewriter, root):
    """Additions to the rewritten source."""
    if name == "firmware/logic/trips.cpp":
        return replace(name, text, "OutputSet withheld = scan.memory.latched;",
                       "OutputSet withheld = latched_for(demanded, scan.memory.latched, scan.memory.first_out);")
    if name == "firmware/logic/decisions.cpp":
        text = replace(name, text, "view.memory.latched.has(Output::process_valve)",
                       "latched_for(OutputSet(Output::process_valve), view.memory.latched,"
                       " view.memory.first_out).has(Output::process_valve)")
        return replace(name, text, "memory.latched.covers(both_paths)",
                       # While noting it is looked at without a blanket, too.
                       "latched_for(memory.blanket ? both_paths : OutputSet(), memory.latched,"
                       " memory.first_out).covers(both_paths)")
    if name == "firmware/logic/machine.hpp":
        return replace(name, text, "namespace msm_tools {", "namespace msm_tools {" + MACHINE_TOOLS)
    if name == "firmware/logic/matrix.hpp":
        return replace(name, text, "extern std::array<Row, cause_count> matrix;",
                       "extern std::array<Row, cause_count> matrix;" + MATRIX_TOOLS)
    if name == "firmware/logic/matrix.cpp":
        phase_text = (root / "firmware/logic/phase.hpp").read_text(encoding="utf-8")
        return text + matrix_places(name, places, rewriter, phase_text)
    if name == "firmware/logic/logic.cpp":
        for member in rewriter.members["Memory"].values():
            member.initial = LOST.get(member.name, member.initial)
        head = "Commands Logic::scan(const Facts& facts) {"
        return replace(name, text, head, head + rewriter.lost_memory("Memory", "scan", "memory_."))
    return text


# --- transitions ---

MACHINE_TOOLS = f"""
/// A guard that may be forced.
template <int forced_true, int forced_false, bool (*predicate)(const View&)>
bool forced(const View& view) {{
  return {CALL}decide(forced_true, forced_false, predicate(view));
}}
/// In place of no guard: the transition may be lost.
template <int place>
bool unless_lost(const View&) {{
  return {CALL}keep(place);
}}
/// An action that may be dropped.
template <int place, void (*action)(Scan&)>
void unless_dropped(Scan& scan) {{
  if ({CALL}keep(place)) action(scan);
}}
"""


def transitions(name, text, places):
    expected = text.count("msm_tools::Row<")
    count = 0

    def rewritten(match):
        nonlocal count
        count += 1
        source, event, target, action, done, guard, predicate = match.groups()
        line = text.count("\n", 0, match.start()) + 1
        add = lambda kind, what: places.add(kind, name, line, match.start() - text.rfind("\n", 0, match.start()),
                                            f"{source} -> {target} on {event}: {what}")
        if done:
            action = f"Do<msm_tools::unless_dropped<{add('action of a transition dropped', done)}, {done}>>"
        if predicate:
            true = add("guard of a transition forced", f"{predicate} always true")
            false = add("guard of a transition forced", f"{predicate} always false")
            guard = f"When<msm_tools::forced<{true}, {false}, {predicate}>>"
        else:
            guard = f"When<msm_tools::unless_lost<{add('guard of a transition forced', 'transition lost')}>>"
        return f"msm_tools::Row<{source}, {event}, {target}, msm_tools::{action}, msm_tools::{guard}>"

    text = ROW.sub(rewritten, text)
    if count != expected:
        raise Refused(f"{name}: {expected} transitions, of which {count} are understood")
    return text


# --- timers ---

def timers(name, text, places, timers_text):
    names = re.search(r"enum class Timer[^{]*\{(.*?)\bcount\b", timers_text, re.DOTALL)[1]
    names = re.findall(r"^\s*(\w+),", names, re.MULTILINE)
    old = "const bool done = (run & bit) != 0 && held_[i] >= presets[i];"
    line = text[:max(text.find(old), 0)].count("\n") + 1
    first = len(places.all) + 1
    for timer in names:
        places.add("timer ignored", name, line, 1, f"{timer}: elapsed at once")
        places.add("timer ignored", name, line, 1, f"{timer}: never elapsed")
    return replace(name, text, old, f"const bool done = {CALL}timer({first}, i, (run & bit) != 0, "
                                    "held_[i] >= presets[i]);")


# --- the matrix ---

MATRIX_TOOLS = """
/// While noting: the row's cause is there.
void note_row(const Row& row, const Facts& facts, Phase phase);
/// While noting: what trips have latched decides over these outputs now, and inhibits over the rest.
void note_latched(OutputSet demanded, OutputSet latched, Cause first_out);

inline bool present(const Row& row, const Facts& facts, const Situation& situation) {
  const bool there = row.condition.holds(facts, situation);
  if (there && ::ovenproof::defects::noting_the_matrix) note_row(row, facts, situation.phase);
  return there;
}
inline OutputSet latched_for(OutputSet demanded, OutputSet latched, Cause first_out) {
  if (::ovenproof::defects::noting_the_matrix) note_latched(demanded, latched, first_out);
  return latched;
}
"""


def matrix_source(name, text):
    """The table as a variable, and what is worked out of it worked out again when it has changed."""
    text = replace(name, text, "constexpr std::array<Row, cause_count> matrix{{",
                   "constinit std::array<Row, cause_count> matrix{{")
    text, checks = re.subn(r"consteval bool ordered_by_cause\(\) \{.*?static_assert\(ordered_by_cause\(\)[^;]*;",
                           lambda m: "\n" * m[0].count("\n"), text, flags=re.DOTALL)
    if checks != 1:
        raise Refused(f"{name}: found no check of the table's order")
    text = replace(name, text, "constexpr auto looked_at = [] {", "const auto worked_out = [] {")
    return replace(name, text, "}();\n\n}  // namespace",
                   "}; auto looked_at = worked_out();\n\n}  // namespace\n"
                   "void rework_rows() { looked_at = worked_out(); }")


def sets_of(kind, member, text, known=None):
    """Named constant sets: name -> members."""
    sets = dict(known or {})
    for name, inside in re.findall(rf"constexpr {kind} (\w+)\{{([^}}]*)\}}", text):
        sets[name] = [w for w in re.findall(r"\w+", inside) if w != member]
    return sets


def outputs_in(name, text, sets):
    found = []
    for part in text.split("|"):
        part = part.strip()
        listed = re.fullmatch(r"OutputSet\(([\w, ]+)\)", part)
        members = re.findall(r"\w+", listed[1]) if listed else sets.get(part)
        if members is None or not set(members) <= set(OUTPUTS):
            raise Refused(f"{name}: not a set of outputs: {text!r}")
        found += [m for m in members if m not in found]
    return found


def rows_of(name, rewriter):
    """The rows of the table: [(token of the row, parts as text, condition's text)]."""
    tokens = rewriter.tokens
    start = next(i for i, t in enumerate(tokens) if t.text == "matrix" and tokens[i + 1].text == "{"
                 and tokens[i + 2].text == "{")
    for begin, end in rewriter.split(start + 3, tokens[start + 2].match, ","):
        if begin == end:
            continue
        parts = [rewriter.one_line(*p) for p in rewriter.split(begin + 1, end - 1, ",")]
        if tokens[begin].text != "{" or len(parts) != 9 or not parts[0].startswith("Cause::"):
            raise Refused(f"{name}:{tokens[begin].line}: not a row of the matrix as it is known")
        yield tokens[begin], parts


def matrix_places(name, places, rewriter, phase_text):
    """Cells cleared, phases taken out, delays and conditions lost; and the function that does it."""
    here = rewriter.plain(0, len(rewriter.tokens))
    outputs = sets_of("OutputSet", "OutputSet", here)
    outputs["everything"] = list(OUTPUTS)
    phases = sets_of("PhaseSet", "Phase", here, sets_of("PhaseSet", "Phase", phase_text))
    cases, cells, by_phase, delays = [], [], [], []
    for row, (token, parts) in enumerate(rows_of(name, rewriter)):
        key = parts[1].strip('"')
        add = lambda kind, what: places.add(kind, name, token.line, token.column, f"{key} / {what}")
        change = lambda number, text: cases.append(f"    case {number}: matrix[{row}].{text}; break;")
        for output in outputs_in(name, parts[8], outputs):
            number = add("matrix cell cleared", output)
            change(number, f"withholds = matrix[{row}].withholds - OutputSet(Output::{output})")
            cells.append(f"    {{{row}, {OUTPUTS.index(output)}, {number}}},")
        if parts[5] not in phases:
            raise Refused(f"{name}:{token.line}: not a set of phases: {parts[5]!r}")
        for phase in phases[parts[5]]:
            number = add("matrix phase left out", phase)
            rest = ", ".join(f"Phase::{p}" for p in phases[parts[5]] if p != phase)
            change(number, f"phases = PhaseSet({rest})")
            by_phase.append(f"    {{{row}, static_cast<int>(Phase::{phase}), {number}}},")
        if parts[7] != "at_once":
            number = add("matrix delay dropped", parts[7].replace("Timer::", ""))
            change(number, "delay = Timer::count")
            delays.append(f"    {{{row}, 0, {number}}},")
        if ".fact" in parts[6]:
            change(add("matrix condition turned round", "fact"), f"condition.is = !matrix[{row}].condition.is")
        for guard in ("while_on", "while_off"):
            if f".{guard}" in parts[6]:
                change(add("matrix condition loosened", guard), f"condition.{guard} = OutputSet()")
    tables = [f"constexpr std::array<RowPlace, {len(t)}> {n}{{{{\n" + "\n".join(t) + "\n}};"
              for n, t in (("cells", cells), ("phases_left_out", by_phase), ("delays", delays))]
    return MATRIX_FOOT.replace("@TABLES@", "\n".join(tables)).replace("@CASES@", "\n".join(cases))


MATRIX_FOOT = """
#include <algorithm>

namespace ovenproof::logic {
namespace {
struct RowPlace {
  int row;
  int index;
  int place;
};
@TABLES@
OutputSet asked;  // while noting: demanded, and by no trip withheld
const std::array<Row, cause_count> as_it_ships = matrix;
}  // namespace

void break_matrix(int place) {
  matrix = as_it_ships;
  switch (place) {
@CASES@
    default: break;
  }
}

void leave_out_other_rows(int cleared_cell) {
  const auto here = std::find_if(cells.begin(), cells.end(),
                                 [cleared_cell](const RowPlace& cell) { return cell.place == cleared_cell; });
  if (here == cells.end()) return;
  const Kind kind = matrix[static_cast<std::size_t>(here->row)].kind;
  for (Row& row : matrix) {
    if (row.kind != kind) row.withholds = OutputSet();
  }
}

void leave_out_trips() {
  for (Row& row : matrix) {
    if (row.kind == Kind::trip) row.withholds = OutputSet();
  }
}

void note_row(const Row& row, const Facts& facts, Phase phase) {
  const int index = static_cast<int>(row.cause);
  const bool ripe = row.delay == Timer::count || facts.elapsed(row.delay);
  const bool trips = row.kind == Kind::trip;
  if (trips && ripe) ::ovenproof::defects::ripened |= RowSet{1} << index;
  // What a trip withholds matters where its output is asked for: see note_latched.
  for (const RowPlace& cell : cells)
    if (cell.row == index)
      ::ovenproof::defects::note(cell.place, ripe && !trips && asked.has(static_cast<Output>(cell.index)));
  for (const RowPlace& one : phases_left_out)
    if (one.row == index && one.index == static_cast<int>(phase))
      ::ovenproof::defects::note(one.place, true);
  for (const RowPlace& delay : delays)
    if (delay.row == index) ::ovenproof::defects::note(delay.place, !ripe);
}

void note_latched(OutputSet demanded, OutputSet latched, Cause first_out) {
  asked = demanded - latched;
  if (first_out == Cause::none) ::ovenproof::defects::ripened = 0;
  for (const RowPlace& cell : cells) {
    const OutputSet output(static_cast<Output>(cell.index));
    if ((::ovenproof::defects::ripened >> cell.row & 1U) != 0 && !(demanded & latched & output).empty())
      ::ovenproof::defects::note(cell.place, true);
  }
}
}  // namespace ovenproof::logic
"""
