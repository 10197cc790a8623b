// Every case that was played.

let scenarioTable = null;

function scenariosSection(d) {
  const all = d.scenarios;
  if (!all) return [h("p", {class: "nothing"}, "No scenarios were played.")];
  const rows = all.groups.flatMap((group) => group.cases.map((one) => ({...one, group})));
  scenarioTable = table({
    caption: "Cases",
    cls: "stack cases",
    columns: [
      {title: "case", head: true, cell: (r) => [r.name, h("span", {class: "sub"}, r.group.file)]},
      {title: "result", cell: (r) => r.passed ? status("good", "passed") : [status("bad", "failed"), h("br"), r.failure]},
      {title: "shows", cell: (r) => [r.group.shows, r.group.unlike_machine.length
        ? h("span", {class: "sub"}, "with other settings: " + r.group.unlike_machine.join(", ")) : ""]},
      {title: "starts", cell: (r) => withDurations(r.start)},
      {title: "simulated", cls: "num", cell: (r) => duration(r.s)},
      {title: "carries", cell: (r) => r.group.covers.map((id, i) => [i ? ", " : "",
        to(idOf(id.startsWith("R-") ? "req" : "hazard", id), id)])},
    ],
    rows,
    search: (r) => `${r.name} ${r.group.file} ${r.group.shows} ${r.group.covers.join(" ")} ${r.failure || ""}`,
    filters: [
      {title: "Result", of: (r) => r.passed ? "passed" : "failed"},
      {title: "Settings", of: (r) => r.group.unlike_machine.length ? "changed for the case" : "as the machine"},
    ],
    empty: "No scenario given is of this machine.",
  });
  return [
    h("p", {}, `${grouped(all.passed)} of ${plural(all.played, "case")} passed, ${number(all.simulated_s / 3600, 3)} h simulated. `,
      "In each the firmware runs on the whole oven while faults come and people act, and is judged on every hazard and on what the case expects. ",
      all.of_other_machines ? `${plural(all.of_other_machines, "case")} of other machines were found and not played. ` : "",
      "Every expectation with its margin is in ", h("a", {href: "scenarios.json"}, "scenarios.json"), ", for continuous integration in ",
      h("a", {href: "junit.xml"}, "junit.xml"), "."),
    scenarioTable,
  ];
}
