// States as bands, outputs as bars, and what happened as marks: below the trends, on the same time.

const bandRow = 28;
/** Mark and colour of an event: those of the page. */
const eventMarks = {trip: [findingMarks.warn[0], "--warn"], hazard: [findingMarks.bad[0], "--bad"], person: [personMark[0], "--ink"]};

/** [from, until, value] of a band, as long as the run. */
function stretches(band, last) {
  return band.s.map((s, i) => [s, i + 1 < band.s.length ? band.s[i + 1] : last, band.values[i]]);
}

/** Bands that ever change, and states. */
const worthShowing = (band) => band.labels.length > 0 || band.values.some((v) => v !== 0);

function drawBands(group, cycle) {
  const trends = cycle.trends;
  const bands = trends.bands.filter(worthShowing);
  const marks = cycle.events.filter(([, kind]) => eventMarks[kind]);
  const rows = bands.length + 1;
  const box = h("div", {class: "plot"});
  const chart = new uPlot({
    width: 600, height: rows * bandRow + 40, legend: {show: false},
    cursor: {sync: {key: group.key, setSeries: false}, drag: {x: true, y: false, setScale: false}, y: false, points: {show: false}},
    scales: {x: {time: false}, y: {range: [0, rows]}},
    axes: [timeAxis(true), {size: gutter, values: () => [], grid: {show: false}, ticks: {show: false}}],
    series: [{}, {points: {show: false}}],
    hooks: {
      setSelect: [(u) => group.select(u)],
      draw: [(u) => paintBands(u, bands, marks, group)],
    },
  }, [trends.s, trends.s.map(() => null)], box);
  group.charts.push(chart);
  return h("div", {class: "panel"}, h("h4", {}, "States, outputs and events"),
    legend([samples.on(), "on"], [samples.off(), "off"], [samples.state(), "state"],
      ...["trip", "hazard", "person"].map((kind) => [h("span", {style: `color: var(${eventMarks[kind][1]})`}, eventMarks[kind][0]), kind === "person" ? personMark[1] : kind])), box,
    h("p", {class: "note"}, "The list of events below says the same in words."));
}

function paintBands(u, bands, marks, group) {
  const c = u.ctx, r = uPlot.pxRatio;
  const x = (s) => Math.min(Math.max(u.valToPos(s, "x", true), u.bbox.left), u.bbox.left + u.bbox.width);
  const ink = css("--ink"), soft = css("--ink-soft"), on = css("--bar"), tint = css("--band"), line = css("--edge");
  c.save();
  c.textBaseline = "middle";
  bands.forEach((band, row) => {
    const top = u.bbox.top + row * bandRow * r;
    c.font = `${10.5 * r}px sans-serif`;
    c.fillStyle = soft;
    c.textAlign = "left";
    const name = spaced(band.probe.replace(/^(board|hands)\./, ""));
    c.fillText(band.probe.startsWith("hands.") ? `${name} (operator)` : name, u.bbox.left + 2 * r, top + 6 * r);
    const bar = top + 12 * r, height = 12 * r;
    c.strokeStyle = line;
    c.lineWidth = r;
    c.beginPath();
    c.moveTo(u.bbox.left, bar + height);
    c.lineTo(u.bbox.left + u.bbox.width, bar + height);
    c.stroke();
    for (const [from, until, value] of stretches(band, group.last)) {
      const a = x(from), width = x(until) - a;
      if (until < group.from || from > group.to) continue;
      if (band.labels.length === 0) {
        if (value === 0) continue;
        c.fillStyle = on;
        c.fillRect(a, bar, Math.max(width, r), height);
        continue;
      }
      const label = spaced(band.labels[value]);
      const quiet = value === 0 && band.probe !== "phase";
      if (!quiet) {
        c.fillStyle = tint;
        c.fillRect(a, bar, Math.max(width, r), height);
      }
      c.fillStyle = line;
      c.fillRect(a, bar, r, height);
      if (width > c.measureText(label).width + 6 * r) {
        c.fillStyle = quiet ? soft : ink;
        c.fillText(label, a + 4 * r, bar + height / 2);
      }
    }
  });
  const top = u.bbox.top + bands.length * bandRow * r;
  c.fillStyle = soft;
  c.fillText("events", u.bbox.left + 2 * r, top + 6 * r);
  c.textAlign = "center";
  c.font = `${12 * r}px sans-serif`;
  for (const [s, kind] of marks) {
    if (s < group.from || s > group.to) continue;
    c.fillStyle = css(eventMarks[kind][1]);
    c.fillText(eventMarks[kind][0], x(s), top + 19 * r);
  }
  c.restore();
}
