// The cause-and-effect matrix: causes down, effects across, in the manner of IEC 62881.

const cellWords = {
  S: "took it away in a scenario",
  P: "takes it away in some order of events; no scenario played it",
  B: "never acts: the sequence has already switched the output off; second line of defence",
  N: "not tried",
  "-": "not on this machine",
};

function conditionWords(row) {
  const c = row.condition;
  if (!c) return "by several facts, or the past";
  return [(c.is ? "" : "not ") + spaced(c.fact),
    c.while_on.length ? "while on: " + c.while_on.map(spaced).join(", ") : "",
    c.while_off.length ? "while off: " + c.while_off.map(spaced).join(", ") : ""].filter(Boolean).join("; ");
}

function matrixSection(d) {
  const m = d.matrix;
  const cell = (row, i) => {
    const mark = row.cells[i];
    if (mark === ".") return h("td", {class: "cell"}, h("span", {class: "sr"}, "no effect"));
    const off = row.kind === "trip" ? "T" : "I";
    return h("td", {class: "cell on" + (mark === "-" ? " absent" : ""), title: cellWords[mark]},
      h("span", {"aria-hidden": "true"}, mark === "-" ? "–" : off, h("sup", {}, mark === "-" ? "" : mark)),
      h("span", {class: "sr"}, `${row.kind}, ${cellWords[mark]}`));
  };
  const rows = m.rows.map((row, i) => h("tr", {id: idOf("cause", row.cause), class: row.fitted ? "" : "absent"},
    h("td", {class: "num"}, i + 1),
    h("th", {scope: "row"}, h("span", {class: "text"}, row.text),
      h("span", {class: "sub"}, h("code", {}, row.cause), row.fitted ? "" : " · not on this machine")),
    h("td", {class: "tag"}, row.tag),
    m.outputs.map((_, o) => cell(row, o)),
    h("td", {class: "delay"}, row.delay_s === undefined ? "at once" : duration(row.delay_s)),
    h("td", {class: "when"}, conditionWords(row), h("span", {class: "sub"},
      row.phases === "any" ? "in any phase" : "in " + row.phases.map(spaced).join(", "))),
    h("td", {class: "num"}, row.cases === undefined ? "" : grouped(row.cases))));
  const trips = m.rows.filter((row) => row.kind === "trip").length;
  return [
    h("p", {}, `Read from the table that runs in the firmware: ${trips} trips, then ${m.rows.length - trips} inhibits, in the order in which the first-out is chosen. `,
      "An output is energised only if the sequence demands it and no row takes it away."),
    h("dl", {class: "legend"},
      h("dt", {}, "T"), h("dd", {}, "trip: takes the output away and stays latched until reset"),
      h("dt", {}, "I"), h("dd", {}, "inhibit: takes the output away while its cause lasts"),
      Object.entries(cellWords).filter(([mark]) => m.rows.some((r) => r.cells.includes(mark)))
        .map(([mark, text]) => [h("dt", {}, mark === "-" ? "–" : h("sup", {}, mark)), h("dd", {}, text)])),
    h("div", {class: "scroll", tabindex: "0", role: "region", "aria-label": "Table: cause-and-effect matrix"},
      h("table", {class: "matrix"},
        h("caption", {}, "Cause-and-effect matrix"),
        h("thead", {}, h("tr", {},
          h("th", {scope: "col", class: "num"}, "row"), h("th", {scope: "col"}, "cause"), h("th", {scope: "col"}, "tag"),
          m.outputs.map((name) => h("th", {scope: "col", class: "cell"}, h("span", {class: "up"}, spaced(name)))),
          h("th", {scope: "col"}, "after"), h("th", {scope: "col"}, "condition"), h("th", {scope: "col"}, "cases in which it came"))),
        h("tbody", {}, rows))),
  ];
}
