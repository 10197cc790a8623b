// The marks of the page: one mark, one meaning, in light, in dark and on paper. Colour never stands alone.

/** Before a word: what was found. */
const findingMarks = {
  bad: ["▲", "failed, violated, hazardous; a hazard occurred"],
  warn: ["◆", "abnormal, not tried, or accepted with a reason; a trip"],
  good: ["✓", "as it must be"],
  none: ["○", "no judgement"],
};
const personMark = ["▽", "a person does something"];

/** What was found, never by colour alone: a sign, a word, and for the abnormal a colour. */
function status(kind, word) {
  return h("span", {class: "status " + kind}, h("span", {"aria-hidden": "true"}, findingMarks[kind][0] + " "), word);
}

/** A piece of a picture, for a legend. */
const sample = (...parts) => svg("svg", {width: 34, height: 14, class: "sample", "aria-hidden": "true"}, parts);

const samples = {
  on: () => sample(svg("line", {x1: 0, x2: 34, y1: 13, y2: 13, class: "rule"}), svg("rect", {x: 6, y: 1, width: 22, height: 12, class: "on"})),
  off: () => sample(svg("line", {x1: 0, x2: 34, y1: 13, y2: 13, class: "rule"})),
  state: () => sample(svg("rect", {x: 0, y: 1, width: 34, height: 12, class: "tint"})),
  level: () => sample(svg("line", {x1: 0, x2: 34, y1: 7, y2: 7, class: "level"})),
  matters: () => sample(svg("path", {d: "M0 12H10V3H34", class: "wave"}), svg("path", {d: "M10 3H34", class: "matters"})),
  violated: () => sample(svg("rect", {x: 6, y: 0, width: 22, height: 14, class: "violated"})),
};

const legend = (...pairs) => h("dl", {class: "legend"},
  pairs.map(([mark, words]) => [h("dt", {}, mark), h("dd", {}, words)]));

/** All of them, for the first screen. */
function marksLegend() {
  const named = (kind) => [h("span", {class: "status " + kind}, findingMarks[kind][0]), findingMarks[kind][1]];
  return legend(
    named("bad"), named("warn"), named("good"), named("none"),
    [personMark[0], personMark[1]],
    [samples.on(), "filled bar: on; the same in light and dark"],
    [samples.off(), "line without a bar: off"],
    [samples.state(), "block with a name: the state it is in"],
    [samples.level(), "broken line across a chart, with its name: a limit"],
    [samples.matters(), "heavy line in a timing diagram: the value matters to the counterexample"],
    [samples.violated(), "ground in a timing diagram: the scan in which the property is violated"],
    [h("span", {class: "caution-edge"}), "coloured edge at the left of a text: caution, danger to people"],
    [h("strong", {}, "value"), "bold value of a setting: stated in the machine file, not left at its default"]);
}
