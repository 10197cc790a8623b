// The state machine: states as nested boxes in a column, each transition an arrow in a lane of its
// own, numbered as in the table beside it. Down on the right, up on the left.

const rowHeight = 30;
const laneWidth = 15;
const boxWidth = 180;

function stateChartSection(d) {
  return [
    h("p", {}, "Read from the transition tables that run in the firmware. The regions run side by side; in each, exactly one state is active. ",
      "In one scan the events come in the order Protect, Interrupt, Advance, Actuate; of rows of one state and event the last that fits is taken."),
    legend(["●", "initial state"], ["- - -", "broken arrow: not on this machine"]),
    d.state_chart.regions.map((region) => regionPart(d, region)),
  ];
}

function regionPart(d, region) {
  const name = capital(region.name);
  return h("div", {class: "region"},
    h("h3", {id: idOf("region", region.name)}, name),
    h("div", {class: "chart"},
      h("div", {class: "scroll picture", tabindex: "0", role: "region", "aria-label": `Chart of ${region.name}`}, drawing(region)),
      table({
        caption: `Transitions of ${region.name}`,
        cls: "transitions stack",
        columns: [
          {title: "no.", cls: "num", cell: (r) => region.transitions.indexOf(r) + 1},
          {title: "from", head: true, cell: (r) => r.from},
          {title: "to", cell: (r) => r.to},
          {title: "when", cell: (r) => [r.guard || "always", h("span", {class: "sub"}, "on ", r.event)]},
          {title: "does", cell: (r) => r.action || "–"},
          {title: "seen", cell: (r) => seenWords(d, r)},
        ],
        rows: region.transitions,
        kind: (r) => r.fitted ? "" : "absent",
      })));
}

function seenWords(d, row) {
  if (!row.fitted) return "not on this machine";
  if (!d.state_chart.explored) return "not explored";
  if (row.seen_from.length === 0) return status("warn", "never");
  const several = row.seen_from.length + row.never_from.length > 1;
  return [several ? "from " + row.seen_from.join(", ") : "yes",
    row.never_from.length ? [h("br"), "never from " + row.never_from.join(", ")] : ""];
}

/** Boxes with their place: {name, depth, top, bottom, composite, initial} */
function placed(states, depth, boxes, top, room) {
  for (const state of states) {
    const box = {name: state.name, depth, top, composite: !!state.children, initial: state.initial};
    boxes.push(box);
    box.room = Math.max(rowHeight, room(state.name));
    top += box.room;
    if (state.children) top = placed(state.children, depth + 1, boxes, top, room) + 6;
    box.bottom = top - 6;
  }
  return top;
}

/** How high a box must be for the ends of its arrows: those of its fuller side, in steps of 9. */
function roomFor(region) {
  const order = [];
  const walk = (states) => states.forEach((state) => { order.push(state.name); walk(state.children || []); });
  walk(region.states);
  const ends = {};
  for (const row of region.transitions) {
    const side = order.indexOf(row.from) < order.indexOf(row.to) ? "right" : "left";
    for (const name of [row.from, row.to]) ends[name + side] = (ends[name + side] || 0) + 1;
  }
  return (name) => 9 * (Math.max(ends[name + "left"] || 0, ends[name + "right"] || 0) + 1) + 6;
}

/** The smallest free lane for each span, shorter ones nearer to the boxes. */
function lanes(spans) {
  const taken = [];
  for (const span of [...spans].sort((a, b) => (a.high - a.low) - (b.high - b.low))) {
    let lane = 0;
    while ((taken[lane] || []).some((other) => other.low < span.high + 4 && span.low < other.high + 4)) ++lane;
    (taken[lane] = taken[lane] || []).push(span);
    span.lane = lane;
  }
  return taken.length;
}

function drawing(region) {
  const boxes = [];
  const height = placed(region.states, 0, boxes, 4, roomFor(region)) + 6;
  const byName = Object.fromEntries(boxes.map((box) => [box.name, box]));
  const deepest = Math.max(...boxes.map((box) => box.depth));

  // Ends of arrows share the height of a box: each gets a place of its own at its side.
  const ends = {};
  const spans = region.transitions.map((row, i) => {
    const from = byName[row.from], target = byName[row.to];
    const side = from.top < target.top ? "right" : "left";
    const span = {number: i + 1, row, side, from, target};
    for (const [box, role] of [[from, "out"], [target, "in"]]) {
      const key = box.name + side;
      (ends[key] = ends[key] || []).push({span, role});
    }
    return span;
  });
  for (const list of Object.values(ends)) {
    list.forEach((end, k) => {
      const box = end.role === "out" ? end.span.from : end.span.target;
      const y = box.top + (box.room - 6) * (k + 1) / (list.length + 1);
      end.span[end.role === "out" ? "y1" : "y2"] = y;
    });
  }
  for (const span of spans) {
    span.low = Math.min(span.y1, span.y2);
    span.high = Math.max(span.y1, span.y2);
  }
  const left = lanes(spans.filter((span) => span.side === "left"));
  const right = lanes(spans.filter((span) => span.side === "right"));
  const x0 = 14 + (left + 1) * laneWidth;
  const indent = 12;
  const x1 = x0 + boxWidth + 2 * indent * deepest;
  const width = x1 + 14 + (right + 1) * laneWidth;

  const edge = (box, side) => side === "left" ? x0 + indent * box.depth : x1 - indent * box.depth;
  const parts = [];
  for (const box of boxes) {
    const x = edge(box, "left");
    parts.push(svg("rect", {x, y: box.top, width: edge(box, "right") - x, height: box.bottom - box.top, rx: 5,
      class: box.composite ? "state composite" : "state"}));
    parts.push(svg("text", {x: x + (box.initial ? 24 : 10), y: box.top + 16, class: "name"}, box.name));
    if (box.initial) {
      parts.push(svg("circle", {cx: x + 12, cy: box.top + 12, r: 4, class: "initial"}));
    }
  }
  for (const span of spans) {
    const way = span.side === "left" ? -1 : 1;
    const lane = (span.side === "left" ? x0 : x1) + way * (span.lane + 1) * laneWidth;
    const a = edge(span.from, span.side), b = edge(span.target, span.side);
    const group = svg("g", {class: "arrow" + (span.row.fitted ? "" : " absent")},
      svg("title", {}, `${span.number}: ${span.row.from} to ${span.row.to}, ${span.row.guard || "always"}`),
      svg("path", {d: `M${a} ${span.y1}H${lane}V${span.y2}H${b + way * 6}`, class: "line"}),
      svg("path", {d: `M${b} ${span.y2}l${way * 7} -3.5v7z`, class: "head"}),
      svg("circle", {cx: lane, cy: (span.y1 + span.y2) / 2, r: 7, class: "label"}),
      svg("text", {x: lane, y: (span.y1 + span.y2) / 2 + 3.5, class: "number"}, span.number));
    parts.push(group);
  }
  return svg("svg", {viewBox: `0 0 ${width} ${height}`, width, height, class: "states", role: "img",
    "aria-label": `States of ${region.name}: ${boxes.map((b) => b.name).join(", ")}. The table lists the transitions.`}, parts);
}
