// The cycles: trends, key figures, hazards, what happened.

const trendGroups = [];

const figureRows = [
  ["purge time", (f) => duration(f.purge_s)],
  ["oxygen at the gate", (f) => unit(f.oxygen_at_gate_ppm, "ppm")],
  ["heat-up", (f) => duration(f.heat_up_s)],
  ["soak", (f) => duration(f.soak_s)],
  ["above the target in soak", (f) => unit(f.soak_above_target_K, "K")],
  ["below the target in soak", (f) => unit(f.soak_below_target_K, "K")],
  ["hottest gas", (f) => unit(f.peak_degC, "°C")],
  ["most oxygen in soak", (f) => unit(f.oxygen_in_soak_ppm, "ppm")],
  ["cool-down", (f) => duration(f.cool_down_s)],
  ["gas", (f) => unit(f.gas_L, "L")],
  ["energy into the elements", (f) => unit(f.energy_kWh, "kWh")],
  ["least oxygen in the room", (f) => unit(f.lowest_room_oxygen * 100, "%")],
  ["door open below 19.5 % oxygen", (f) => duration(f.low_oxygen_at_door_s)],
  ["least oxygen while somebody reaches in", (f) => unit(f.oxygen_reached_into === null ? null : f.oxygen_reached_into * 100, "%")],
  ["hottest load or wall while somebody reaches in", (f) => unit(f.handled_degC, "°C")],
  ["re-purges", (f) => f.repurges],
];

const unit = (value, name) => value === null || value === undefined ? "–" : `${number(value, 4)} ${name}`;

function cycleSection(d) {
  const cycle = d.cycle;
  if (!cycle) return [h("p", {class: "nothing"}, "No cycle was run.")];
  const hazardNames = Object.fromEntries((d.hazards || []).map((each) => [each.id, each.title]));
  return [
    h("p", {}, `${cycle.completed} of ${cycle.planned} cycles complete, ${number(cycle.simulated_s / 3600, 3)} h simulated, no fault injected. `,
      "Figures and hazards are measured on the oven, not on what the controller reads.",
      cycle.stopped_early ? [" ", status("bad", "Stopped early: " + cycle.stopped_early)] : ""),
    h("h3", {}, "Trends"),
    trendsPart(cycle),
    h("h3", {}, "Key figures"),
    h("div", {class: "scroll", tabindex: "0", role: "region", "aria-label": "Table: key figures"},
      h("table", {class: "figures"}, h("caption", {}, "Key figures of each cycle"),
        h("thead", {}, h("tr", {}, h("td"), cycle.figures.map((_, i) => h("th", {scope: "col"}, `cycle ${i + 1}`)))),
        h("tbody", {}, figureRows.map(([name, of]) => h("tr", {}, h("th", {scope: "row"}, name),
          cycle.figures.map((f) => h("td", {class: "num"}, of(f)))))))),
    h("h3", {}, "Hazards in these cycles"),
    table({
      caption: "How far the cycles stayed from each hazard, in the hazard's own unit",
      cls: "stack",
      columns: [
        {title: "hazard", head: true, cell: (r) => d.hazards ? to(idOf("hazard", r.id), hazardNames[r.id] || r.id) : spaced(r.id)},
        {title: "result", cell: (r) => r.avoided ? status("good", "avoided")
          : r.waived ? status("warn", "occurred, waived: " + r.waived) : status("bad", "occurred at " + clock(r.first_s))},
        {title: "margin", cls: "num", cell: (r) => r.margin},
      ],
      rows: cycle.hazards,
    }),
    fold(`What happened (${plural(cycle.events.length, "event")})`, false,
      table({
        caption: "Events, by time since power was switched on",
        columns: [
          {title: "time", cls: "num", head: true, cell: (r) => h("button", {type: "button", class: "time",
            onclick: () => goTo(r[0]), title: "show in the charts"}, clock(r[0]))},
          {title: "kind", cell: (r) => r[1] === "hazard" ? status("bad", r[1]) : r[1] === "trip" ? status("warn", r[1]) : r[1]},
          {title: "event", cell: (r) => spaced(r[2])},
        ],
        rows: cycle.events,
        search: (r) => r[2],
        filters: [{title: "Kind", of: (r) => r[1]}],
      })),
  ];
}

function goTo(s) {
  const group = trendGroups[0];
  group.show(s - 120, s + 120);
  group.point(s);
  group.box.scrollIntoView({block: "nearest"});
}

function trendsPart(cycle) {
  const s = cycle.trends.s;
  if (s.length < 2) return h("p", {class: "nothing"}, "The run was too short to draw.");
  const group = new TrendGroup("cycle", s[0], s[s.length - 1]);
  const button = (label, title, act) => h("button", {type: "button", title, "aria-label": title, onclick: act}, label);
  const tools = h("div", {class: "tools", role: "group", "aria-label": "Section of time"},
    button("+", "Zoom in", () => group.zoom(0.5)), button("−", "Zoom out", () => group.zoom(2)),
    button("◀", "Earlier", () => group.pan(-0.5)), button("▶", "Later", () => group.pan(0.5)),
    button("Whole run", "Show the whole run", () => group.whole()),
    cycle.figures.map((f, i) => button(`Cycle ${i + 1}`, `Show cycle ${i + 1}`, () => group.show(f.start_s - 60, f.end_s + 60))));
  const charts = h("div", {class: "charts", tabindex: "0", role: "group", id: "trends",
    "aria-label": "Trends. Plus and minus zoom, zero shows the whole run, arrows move the cursor, shift and arrows move in time.",
    onkeydown: (event) => group.key_(event)});
  charts.append(...panels.map((panel) => drawPanel(group, panel, cycle.trends, cycle.limits)), drawBands(group, cycle));
  group.box = h("div", {class: "trends"}, tools,
    h("p", {class: "note"}, `Drag across a chart to zoom; with the keyboard + and −, 0, arrows. One value every ${duration(cycle.trends.every_s)}; states and outputs to the scan. All probes are in `,
      h("a", {href: "cycle.csv"}, "cycle.csv"), "."),
    group.live, charts);
  group.whole();
  trendGroups.push(group);
  return group.box;
}
