// What is to be checked on the real oven, with room for who did it; and the alarm list.

const sign = {title: "result, name, date", cls: "sign", cell: () => ""};

function commissioningSection(d) {
  const c = d.commissioning;
  const time = (row) => row.expected_s === null ? "as the process or the means allow: state it"
    : `${duration(row.expected_s)}, at most ${duration(row.latest_s)}`;
  return [
    h("p", {}, "Made from the I/O list and the matrix of this firmware with the settings of this machine. ",
      `Times run from the moment the cause shows at the terminals to the moment the controller's outputs change; the tolerance is two scans of ${duration(c.scan_s)}. `,
      `Contactors may take up to ${duration(c.contactor_s)} more.`),
    h("div", {class: "caution"}, h("p", {}, h("strong", {}, "Caution: "),
      "Witnessed trips are carried out by competent people under a permit, first on a cold and empty oven in a ventilated room, with the hard-wired protection tested beforehand. ",
      "Undo every bridge and every changed setting, and have a second person see that it was undone.")),
    h("h3", {}, "Loop checks"),
    table({
      caption: "Every terminal, from the device to the controller",
      cls: "stack check",
      columns: [
        {title: "tag", head: true, cell: (r) => [r.tag, h("span", {class: "sub"}, r.type)]},
        {title: "what", cell: (r) => r.what},
        {title: "do", cell: (r) => r.do},
        {title: "expected", cell: (r) => r.expect},
        sign,
      ],
      rows: c.loop_checks,
    }),
    h("h3", {}, "Witnessed trips and inhibits"),
    table({
      caption: "Every row of the matrix that this machine has",
      cls: "stack check",
      columns: [
        {title: "cause", head: true, cell: (r) => [to(idOf("cause", r.cause), r.text), h("span", {class: "sub"}, r.tag, r.tag ? " · " : "", r.kind)]},
        {title: "bring it about", cell: (r) => r.do},
        {title: "expected off", cell: (r) => r.off.length === d.matrix.outputs.length ? "everything" : r.off.map(spaced).join(", ")},
        {title: "reaction time", cell: time},
        {title: "expected message", cell: (r) => r.kind === "trip" ? `first-out “${r.text}”, latched until reset` : "none; comes back when the cause has gone"},
        sign,
      ],
      rows: c.witnessed,
      search: (r) => `${r.cause} ${r.text} ${r.tag} ${r.do}`,
      filters: [{title: "Kind", of: (r) => r.kind}],
    }),
    h("table", {class: "signatures"}, h("caption", {}, "Carried out and witnessed"),
      h("thead", {}, h("tr", {}, ["part", "name", "signature", "date"].map((t) => h("th", {scope: "col"}, t)))),
      h("tbody", {}, ["loop checks", "witnessed trips", "bridges and settings restored", "released for use"].map((t) =>
        h("tr", {}, h("th", {scope: "row"}, t), h("td"), h("td"), h("td"))))),
  ];
}

function alarmsSection(d) {
  return [
    h("p", {}, "The trips as alarms, in the terms of ISA-18.2 and IEC 62682. Each is latched, acts by itself as the matrix says, and shows as first-out if it came first. ",
      "Priority, class and suppression belong to the plant's own rationalisation: the last column is left for it. Consequences and responses are common practice, no source."),
    table({
      caption: "Alarms",
      cls: "stack",
      columns: [
        {title: "tag", cell: (r) => r.tag},
        {title: "alarm", head: true, cell: (r) => to(idOf("cause", r.cause), r.text)},
        {title: "acts by itself on", cell: (r) => r.off.length === d.matrix.outputs.length ? "everything" : r.off.map(spaced).join(", ")},
        {title: "consequence if nobody acts", cell: (r) => r.consequence},
        {title: "operator response", cell: (r) => r.response},
        {title: "priority", cls: "sign", cell: () => ""},
      ],
      rows: d.alarms,
      search: (r) => `${r.tag} ${r.text} ${r.cause} ${r.consequence} ${r.response}`,
    }),
  ];
}
