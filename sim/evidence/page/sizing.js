// What the oven will do: by published formulas, and beside it what the simulated oven does.

const sizingCharts = [];

const verdictWords = {
  "within": ["good", "within the bound"],
  "differs": ["warn", "differs by more than the bound"],
  "not compared": ["none", "not compared"],
};

function sizingSection(d) {
  const z = d.sizing;
  if (!z) return [h("p", {class: "nothing"}, "The oven was not sized.")];
  const value = (v, why, name) => v === null ? why || "–" : `${number(v, 3)}${name ? " " + name : ""}`;
  return [
    h("p", {}, "Each figure by a published formula, and measured on the simulated oven. A formula is an estimate: where the two differ by more than the stated bound, a remark gives the reason, and nothing fails by it. What the simulated cycle itself shows can fail.",
      z.cycle_problem ? [" ", status("bad", z.cycle_problem)] : ""),
    z.curves.map(curvePart),
    table({
      caption: "Figures",
      cls: "stack",
      columns: [
        {title: "figure", head: true, cell: (f) => [f.what, h("span", {class: "sub"}, f.group)]},
        {title: "by formula", cls: "num", cell: (f) => value(f.predicted, f.no_prediction, f.unit)},
        {title: "simulated", cls: "num", cell: (f) => value(f.simulated, f.no_simulation, f.unit)},
        {title: "deviation", cls: "num", cell: (f) => f.deviation === null ? "–" : `${number(f.deviation * 100, 2)} %`},
        {title: "bound", cls: "num", cell: (f) => boundWords(f)},
        {title: "result", cell: (f) => [status(...verdictWords[f.verdict]), f.remark ? h("span", {class: "sub"}, f.remark) : ""]},
        {title: "formula and its assumptions", cell: (f) => [f.formula, h("span", {class: "sub"}, f.equation, ". ", f.source),
          f.assumptions.map((a) => h("span", {class: "sub"}, a.holds ? "assumes: " : [status("warn", "does not hold: ")], a.text, a.found ? ` (${a.found})` : ""))]},
      ],
      rows: z.figures,
      search: (f) => `${f.what} ${f.group} ${f.formula} ${f.source} ${f.remark}`,
      filters: [{title: "Group", of: (f) => f.group}, {title: "Result", of: (f) => f.verdict}],
    }),
    z.floors.ppm.length ? floorsPart(z.floors) : "",
  ];
}

function boundWords(f) {
  if (f.verdict === "not compared") return "–";
  const parts = [f.bound.relative ? `${number(f.bound.relative * 100)} %` : "", f.bound.absolute ? `${number(f.bound.absolute)} ${f.unit}` : ""];
  return parts.filter(Boolean).join(" + ") || "exact";
}

function floorsPart(floors) {
  return [
    h("h3", {}, "Lowest oxygen that can be reached"),
    h("div", {class: "scroll", tabindex: "0", role: "region", "aria-label": "Table: lowest oxygen by flow and ingress"},
      h("table", {class: "floors"}, h("caption", {}, `ppm, by flow and by air ingress; above ${number(floors.level_ppm)} ppm the level to hold cannot be held`),
        h("thead", {}, h("tr", {}, h("th", {scope: "col"}, "flow, L/min"),
          floors.ingress_L_per_min.map((one) => h("th", {scope: "col", class: "num"}, `ingress ${number(one, 3)} L/min`)))),
        h("tbody", {}, floors.flows_L_per_min.map((flow, i) => h("tr", {}, h("th", {scope: "row"}, number(flow, 3)),
          floors.ppm[i].map((ppm) => h("td", {class: "num"}, ppm > floors.level_ppm ? status("warn", number(ppm, 3)) : number(ppm, 3))))))))];
}

/** One curve against time, predicted and simulated. */
function curvePart(curve) {
  const times = [...new Set([...curve.predicted.s, ...curve.simulated.s])].sort((a, b) => a - b);
  if (times.length < 2) return "";
  const on = (points) => {
    const values = new Map(points.s.map((s, i) => [s, points.values[i]]));
    return times.map((s) => values.has(s) ? (curve.log_axis && values.get(s) <= 0 ? null : values.get(s)) : undefined);
  };
  const pens = [["by formula", "--pen-b", [6, 3], curve.predicted], ["simulated", "--pen-c", [], curve.simulated]]
    .filter(([, , , points]) => points.s.length);
  const box = h("div", {class: "plot"});
  sizingCharts.push(new uPlot({
    width: 600, height: 210, legend: {show: false}, cursor: {y: false, drag: {x: false, y: false}},
    scales: {x: {time: false}, y: curve.log_axis ? {distr: 3, range: logRange} : {}},
    axes: [timeAxis(true), valueAxis(curve.log_axis)],
    series: [{}, ...pens.map(([label, colour, dash]) => ({label, stroke: () => css(colour), width: 1.6, dash, points: {show: false}, spanGaps: true}))],
  }, [times, ...pens.map(([, , , points]) => on(points))], box));
  return h("div", {class: "charts sized"}, h("div", {class: "panel"},
    h("h3", {}, `${capital(curve.what)}, ${curve.unit === "degC" ? "°C" : curve.unit}${curve.log_axis ? " (logarithmic)" : ""}`),
    h("ul", {class: "pens"}, pens.map(([label, colour, dash]) => h("li", {}, swatch(colour, dash), label))), box));
}
