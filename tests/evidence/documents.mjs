// Documents that are unlike the demo pack: failing, empty, large, with names that do not fit.

export function refuted(d) {
  d.summary.holds = false;
  d.summary.refuted = [{text: "REQ-HEAT-01: heat only while the door is proven closed: refuted.", link: "#proofs"}];
  if (d.proof) {
    d.proof.claims[0].standing = "refuted";
    d.proof.claims[0].refutation = {
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
