// Documents that are unlike the demo pack: failing, empty, large, with names that do not fit.

export function refuted(d) {
  d.summary.holds = false;
  d.summary.verdict = "FAILS: 1 finding";
  d.summary.refuted = [{text: "REQ-HEAT-01: heat only while the door is proven closed: refuted.", link: "#proofs"}];
  if (d.proof) {
    d.proof.claims[0].standing = "refuted";
    d.proof.claims[0].counterexample = {
      born: "power_up", scans: 4, violated_in: 3,
      facts: [{name: "reset_pressed", values: [1, 0, 0, 0], told: [1, 0, 0, 0]}, {name: "door_closed", values: [1, 1, 1, 0], told: [0, 0, 0, 1]}],
      outputs: [{name: "k1", values: [0, 0, 1, 1]}],
      phases: ["tripped", "standby", "ramp", "ramp"],
    };
    d.proof.claims[1].standing = "vacuous";
  }
  d.cycle.hazards[0].avoided = false;
  d.cycle.hazards[0].first_s = 100;
  if (d.scenarios && d.scenarios.groups.length) {
    Object.assign(d.scenarios.groups[0].cases[0], {passed: false, failure: "the heat goes: it did not"});
  }
}

const word = "Unwrappable" + "name".repeat(40);

export function long(d) {
  d.machine.name = `${word} ${"and more words ".repeat(12)}`;
  d.machine.description = word.repeat(3);
  d.machine.io[0].what = word;
  d.machine.io[0].tag = "TAG-THAT-IS-LONG";
  d.matrix.rows[0].text = word;
  d.hazards[0].title = word;
  d.cycle.events[0][2] = word.repeat(2);
  if (d.scenarios) for (const group of d.scenarios.groups) Object.assign(group.cases[0], {name: word}), group.file = word + "/" + word;
}

export function empty(d) {
  d.machine.io = [];
  d.machine.settings = [];
  d.cycle.events = [];
  d.cycle.figures = [];
  d.cycle.hazards = [];
  d.cycle.trends.s = [];
  d.commissioning.loop_checks = [];
  d.commissioning.witnessed = [];
  d.alarms = [];
  d.hazards = [];
  d.requirements = [];
  d.scenarios = {played: 0, passed: 0, of_other_machines: 0, simulated_s: 0, groups: []};
  d.proof = null;
}

/** A few rows of every table: all that one kind of row can show. */
export function trimmed(d) {
  const few = (list) => list.splice(6);
  for (const list of [d.machine.io, d.machine.settings, d.cycle.events, d.commissioning.loop_checks, d.commissioning.witnessed, d.alarms, d.requirements, d.matrix.rows, d.hazards]) few(list);
  if (d.sizing) few(d.sizing.figures);
  if (d.proof) few(d.proof.claims);
}

const outcomes = ["hazardous", "unnoticed", "noticed", "outage", "no_effect"];

/** A campaign of a few failure modes and many injections, one mode of which ends hazardous. */
export function campaigned(d, injections = 10000) {
  const mode = (id, kind, extra = {}) => ({id, component: id.split(".")[0], kind, what: `what ${id} is`, source: "a standard", note: "",
    excluded: "", accepted: "", onsets: ["sudden"], injections: 0, outcomes: [0, 0, 0, 0, 0], wrong_first_outs: 0, worst: null, slowest_s: null, ...extra});
  const modes = [mode("Q1.welded", "contactor"), mode("TE-1A.open", "thermocouple"), mode("FS-1.bridged", "switch"),
    mode("TE-2.short", "thermocouple", {excluded: "cannot happen here"})];
  const instants = ["ramp", "soak", "cooling"].map((phase, i) => ({id: `middle of ${phase}`, s: 600 * (i + 1), phase}));
  const rows = {mode: [], onset: [], instant: [], outcome: [], cause: [], right: [], reaction_s: [], second: [], hazards: []};
  for (let i = 0; i < injections; ++i) {
    const m = i % 3, outcome = i === 7 ? 0 : m === 0 ? 1 : 2;
    rows.mode.push(m); rows.onset.push(0); rows.instant.push(i % 3 && 1); rows.outcome.push(outcome);
    rows.cause.push(outcome === 2 ? 5 : -1); rows.right.push(outcome === 2 ? 1 : 0); rows.reaction_s.push(outcome === 2 ? 0.5 : null);
    modes[m].outcomes[outcome] += 1; modes[m].injections += 1;
  }
  rows.hazards.push([7, 0, 12.5, 3, 1.25, "W"]);
  modes[0].worst = "unnoticed";
  modes[0].accepted = "a reason as long as people write them: what it leads to, why that can be borne, and who looks after it until it is mended";
  modes[1].worst = "hazardous";
  modes[2].worst = "noticed";
  d.campaign = {singles: injections, pairs: 0, seed: 1, outcomes, hazards: d.hazards.map((h) => h.id), causes: d.matrix.rows.map((r) => r.cause),
    modes, demands: [], instants, rows};
  d.hazards.forEach((h, i) => { h.campaign = {singles: i ? 0 : 1, pairs: i === 1 ? 2 : 0, modes: i ? [] : ["TE-1A.open"]}; });
}

export function absent(d) {
  d.cycle = null;
  d.scenarios = null;
  d.proof = null;
}

export function large(d) {
  const covers = d.requirements.slice(0, 2).map((r) => r.id);
  d.scenarios = {played: 10000, passed: 9990, of_other_machines: 0, simulated_s: 1e6, groups: [{
    file: "cases/large.yaml", shows: "many", covers, unlike_machine: [],
    cases: Array.from({length: 10000}, (_, i) => ({name: `case number ${i}`, start: "cold", s: 100 + i, passed: i % 1000 !== 7, failure: "it did not"})),
  }]};
}

/** Single failures that end hazardous and are accepted. */
export function accepted(d) {
  d.summary.verdict = "HOLDS with 2 accepted hazards: nothing else that was tried failed";
  d.summary.accepted = [
    {text: "2 single failures may end hazardous. Accepted, each with a reason, by A. Person, 2026-03-31.", link: "#failures"},
    {text: "seal.torn, seal.ageing: seals are looked at before each start.", link: "#failures"},
  ];
}
