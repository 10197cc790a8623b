// Trends over the run, one panel below the other, with one cursor and one section of time. The
// charts themselves are drawn by uPlot.

/** Pens: a colour of the style sheet and a dash, so that no line is told by its colour alone. */
const panels = [
  {title: "Temperature, °C", height: 230, pens: [
    ["setpoint", "setpoint", "--pen-a", [2, 2]],
    ["reading.temperature", "as measured", "--pen-b", []],
    ["plant.gas", "gas", "--pen-c", [8, 3]],
    ["plant.load", "load", "--pen-d", []],
    ["plant.element", "elements", "--pen-e", [3, 3]],
  ], lines: [["high_degC", "control limit"]]},
  {title: "Oxygen, ppm (logarithmic)", height: 190, log: true, pens: [
    ["plant.oxygen", "in the chamber", "--pen-c", []],
    ["reading.oxygen", "as measured", "--pen-b", [6, 3]],
  ], lines: [["gate_ppm", "gate"], ["hold_ppm", "hold limit"]]},
  {title: "Gas flow, L/min at 0 °C and 101.325 kPa", height: 140, pens: [
    ["plant.purge_flow", "purge", "--pen-c", []],
    ["plant.process_flow", "process", "--pen-d", [6, 3]],
    ["plant.exhaust_flow", "exhaust", "--pen-b", [3, 3]],
  ]},
  {title: "Power, kW", height: 120, scale: 0.001, pens: [
    ["plant.heater_power", "elements", "--pen-c", []],
    ["plant.jacket_heat", "taken by jacket air", "--pen-d", [6, 3]],
  ]},
  {title: "Chamber gauge pressure, Pa", height: 110, pens: [["plant.pressure", "pressure", "--pen-c", []]]},
];

const gutter = 52;
const secondsSteps = [1, 2, 5, 10, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 86400];

function timeAxis(shown) {
  return {
    scale: "x", show: shown, size: 26, stroke: () => css("--ink-soft"), font: "12px sans-serif",
    grid: {stroke: () => css("--grid"), width: 1}, ticks: {stroke: () => css("--grid"), width: 1},
    incrs: secondsSteps, values: (_, splits) => splits.map((s) => clock(s).replace(/:00$/, "")), space: 64,
  };
}

function valueAxis(logarithmic) {
  return {
    size: gutter, stroke: () => css("--ink-soft"), font: "12px sans-serif",
    grid: {stroke: () => css("--grid"), width: 1}, ticks: {show: false},
    values: (_, splits) => splits.map((v) => v === null ? "" : number(v)),
    ...(logarithmic ? {splits: (_, axis, low, high) => decades(low, high), filter: (_, splits) => splits} : {}),
  };
}

/** From a power of ten at or below the lowest value, 10 at most, to a little above the highest. */
const logRange = (_, low, high) => [Math.min(10 ** Math.floor(Math.log10(low)), 10), Math.max(1.5 * high, 1000)];

/** A piece of a pen's line. */
const swatch = (colour, dash) => svg("svg", {width: 26, height: 8, "aria-hidden": "true"},
  svg("line", {x1: 0, x2: 26, y1: 4, y2: 4, "stroke-dasharray": dash.join(" "), style: `stroke: var(${colour})`}));

/** The numbers of one panel, as uPlot takes them: times, then a list a pen. */
function panelData(trends, panel) {
  const of = (probe) => trends.trends.find((trend) => trend.probe === probe);
  const pens = panel.pens.filter(([probe]) => of(probe));
  const scale = panel.scale || 1;
  return {
    pens,
    data: [trends.s, ...pens.map(([probe]) => of(probe).values.map((v) =>
      panel.log ? (v > 0 ? v : null) : probe === "setpoint" && v === 0 ? null : v * scale))],
  };
}

function drawPanel(group, panel, trends, limits) {
  const {pens, data} = panelData(trends, panel);
  const readouts = pens.map(() => h("output", {}));
  const box = h("div", {class: "plot"});
  const options = {
    width: 600, height: panel.height, legend: {show: false},
    cursor: {sync: {key: group.key, setSeries: false}, drag: {x: true, y: false, setScale: false}, points: {size: 6}},
    scales: {x: {time: false}, y: panel.log ? {distr: 3, range: logRange} : {}},
    axes: [timeAxis(true), valueAxis(panel.log)],
    series: [{}, ...pens.map(([, label, colour, dash]) => ({
      label, stroke: () => css(colour), width: 1.6, dash, points: {show: false},
    }))],
    hooks: {
      setCursor: [(u) => pens.forEach((_, i) => {
        const at = u.cursor.idx;
        readouts[i].textContent = at === null || at === undefined || data[i + 1][at] === null ? "" : number(data[i + 1][at], 3);
      })],
      setSelect: [(u) => group.select(u)],
      draw: [(u) => (panel.lines || []).forEach(([name, label]) => drawLimit(u, limits[name], label))],
    },
  };
  const chart = new uPlot(options, data, box);
  group.charts.push(chart);
  const keys = h("ul", {class: "pens"}, pens.map(([, label, colour, dash], i) => h("li", {},
    h("button", {type: "button", "aria-pressed": "true", onclick: (event) => {
      const on = event.currentTarget.getAttribute("aria-pressed") !== "true";
      event.currentTarget.setAttribute("aria-pressed", on);
      chart.setSeries(i + 1, {show: on});
    }}, swatch(colour, dash),
    label), " ", readouts[i])));
  return h("div", {class: "panel"}, h("h4", {}, panel.title), keys, box);
}

/** Powers of ten in a range. */
function decades(low, high) {
  const all = [];
  for (let power = -2; power <= 7; ++power) if (10 ** power >= low && 10 ** power <= high) all.push(10 ** power);
  return all;
}

/** A level across the panel, with its name. */
function drawLimit(u, value, label) {
  const [low, high] = [u.scales.y.min, u.scales.y.max];
  if (value === undefined || value < low || value > high) return;
  const y = Math.round(u.valToPos(value, "y", true)), c = u.ctx, r = uPlot.pxRatio;
  c.save();
  c.strokeStyle = c.fillStyle = css("--ink-soft");
  c.lineWidth = r;
  c.setLineDash([4 * r, 4 * r]);
  c.beginPath();
  c.moveTo(u.bbox.left, y);
  c.lineTo(u.bbox.left + u.bbox.width, y);
  c.stroke();
  c.font = `${11 * r}px sans-serif`;
  c.textAlign = "right";
  c.textBaseline = "bottom";
  c.fillText(`${label} ${number(value)}`, u.bbox.left + u.bbox.width - 4 * r, y - 4 * r);
  c.restore();
}

/** Charts that share their section of time. */
class TrendGroup {
  constructor(key, first, last) {
    Object.assign(this, {key, first, last, from: first, to: last, charts: []});
    this.live = h("p", {class: "live", role: "status"});
  }
  select(u) {
    if (u.select.width < 6) return;
    this.show(u.posToVal(u.select.left, "x"), u.posToVal(u.select.left + u.select.width, "x"));
    u.setSelect({left: 0, width: 0, top: 0, height: 0}, false);
  }
  /** Shows this section, as far as there is one; never shorter than ten seconds. */
  show(from, until) {
    const width = Math.min(Math.max(until - from, 10), this.last - this.first);
    this.from = Math.min(Math.max((from + until - width) / 2, this.first), this.last - width);
    this.to = this.from + width;
    for (const chart of this.charts) chart.setScale("x", {min: this.from, max: this.to});
    this.live.textContent = `Shown: ${clock(this.from)} to ${clock(this.to)}`;
    this.live.dataset.from = this.from;
    this.live.dataset.to = this.to;
  }
  zoom(factor) {
    const middle = this.cursorTime() ?? (this.from + this.to) / 2;
    const share = (middle - this.from) / (this.to - this.from);
    const width = (this.to - this.from) * factor;
    this.show(middle - share * width, middle + (1 - share) * width);
  }
  pan(share) {
    const by = Math.min(Math.max((this.to - this.from) * share, this.first - this.from), this.last - this.to);
    this.show(this.from + by, this.to + by);
  }
  whole() { this.show(this.first, this.last); }
  cursorTime() {
    const u = this.charts[0];
    return u && u.cursor.left >= 0 ? u.posToVal(u.cursor.left, "x") : null;
  }
  /** Moves the cursor to this time, in all charts. */
  point(s) {
    if (s < this.from || s > this.to) this.show(s - (this.to - this.from) / 2, s + (this.to - this.from) / 2);
    const u = this.charts[0];
    u.setCursor({left: u.valToPos(s, "x"), top: 10});
    this.live.textContent = `Cursor at ${clock(s)}`;
    this.live.dataset.cursor = s;
  }
  key_(event) {
    const step = (this.to - this.from) / 100;
    const at = this.cursorTime() ?? (this.from + this.to) / 2;
    const acts = {
      "+": () => this.zoom(0.5), "=": () => this.zoom(0.5), "-": () => this.zoom(2), "0": () => this.whole(),
      Home: () => this.point(this.from), End: () => this.point(this.to),
      ArrowLeft: () => event.shiftKey ? this.pan(-0.25) : this.point(Math.max(at - step, this.first)),
      ArrowRight: () => event.shiftKey ? this.pan(0.25) : this.point(Math.min(at + step, this.last)),
    };
    if (!acts[event.key] || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    acts[event.key]();
  }
}
