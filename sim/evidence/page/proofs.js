// What was proved over all orders of events; counterexamples as timing diagrams.

const standingSigns = {proved: ["good", "proved"], refuted: ["bad", "refuted"], vacuous: ["warn", "vacuous: never happens"], open: ["warn", "open"]};

function proofsSection(d) {
  const proof = d.proof;
  if (!proof) return [h("p", {class: "nothing"}, "The interlocks were not proved. ")];
  const refuted = proof.claims.filter((claim) => claim.counterexample);
  const r = proof.recovery;
  return [
    h("p", {}, `The prover explored every state that the logic can reach; in every scan every fact may be true or false: ${grouped(proof.states)} states, `,
      `${grouped(proof.scans)} scans of the compiled logic that the simulated controller runs, the farthest state ${proof.depth} scans from power-up. `,
      "A fact may change in any scan, and a timer that runs may elapse in any scan or never, so what is proved does not depend on a debounce, a hysteresis or a delay. ",
      "It is proved of the logic alone: whether the facts are true depends on conditioning, sensors and wiring.",
      proof.complete ? "" : [" ", status("bad", "Partial: memory ran out; what is not refuted here is not proved.")]),
    table({
      caption: "Interlocks",
      cls: "stack",
      columns: [
        {title: "id", head: true, cls: "whole", cell: (c) => c.id},
        {title: "result", cell: (c) => status(...standingSigns[c.standing])},
        {title: "what holds in every scan", cell: (c) => [c.title, h("span", {class: "sub"}, h("code", {}, c.property))]},
        {title: "requirement", cell: (c) => c.covers ? to(idOf("req", c.covers), c.covers) : ""},
      ],
      rows: proof.claims,
      rowId: (c) => idOf("claim", c.id),
      search: (c) => `${c.id} ${c.title} ${c.covers} ${c.property}`,
      filters: [{title: "Result", of: (c) => c.standing}],
    }),
    refuted.length ? h("h3", {}, "Counterexamples") : "",
    refuted.map((claim) => h("div", {class: "counterexample", id: idOf("counterexample", claim.id)},
      h("h4", {}, status("bad", `${claim.id}: ${claim.title}`)), timing(claim.counterexample),
      h("p", {class: "note"}, `Starts tripped (${spaced(claim.counterexample.born)}). Heavy line: the value matters. Tinted scan with ▲: violated there. Facts not shown are those of a healthy oven.`))),
    h("h3", {}, "Recovery"),
    r.stuck
      ? h("p", {}, status("bad", `From a state in ${r.stuck.from} the oven does not reach ${r.stuck.wanted}; after ${duration(r.stuck.after_s)} it is in ${r.stuck.at}.`))
      : h("p", {}, `From each of ${grouped(r.states)} states of the logic a healthy oven with an attendant who resets and stops reaches standby, within ${duration(r.longest_s)}. `,
        `From each of ${grouped(r.cycle_states)} states of a running cycle, left alone, it reaches unloading or rests, within ${duration(r.longest_cycle_s)}.`),
    h("h3", {}, "Assumed of the facts, and nothing else"),
    h("ul", {}, proof.assumptions.map((text) => h("li", {}, text))),
    proof.never_at_work.length
      ? [h("h3", {}, "Never at work"), h("p", {}, "Dead parts of the logic: no order of events reaches them."),
        h("ul", {}, proof.never_at_work.map(([kind, name]) => h("li", {}, `${kind}: ${name}`)))]
      : "",
  ];
}

/** A timing diagram: facts above, outputs below, the phase as a band, a column each scan. */
function timing(counterexample) {
  const column = Math.max(26, Math.min(60, 620 / Math.max(counterexample.scans, 1)));
  const left = 190, row = 22;
  const rows = [...counterexample.facts.map((s) => ({...s, kind: "fact"})), ...counterexample.outputs.map((s) => ({...s, kind: "output"}))];
  const width = left + column * counterexample.scans + 10, height = (rows.length + 2) * row + 12;
  const parts = [];
  if (counterexample.violated_in !== null) {
    const x = left + column * counterexample.violated_in;
    parts.push(svg("rect", {x, y: 0, width: column, height, class: "violated"}));
    parts.push(svg("text", {x: x + column / 2, y: height - 3, class: "mark"}, findingMarks.bad[0]));
  }
  for (let i = 0; i < counterexample.scans; ++i) {
    parts.push(svg("text", {x: left + column * (i + 0.5), y: 14, class: "scan"}, i));
  }
  rows.forEach((signal, k) => {
    const low = (k + 2) * row - 4, high = low - 13;
    parts.push(svg("text", {x: left - 8, y: low - 2, class: "signal"}, spaced(signal.name) + (signal.kind === "output" ? " (output)" : "")));
    let path = "";
    signal.values.forEach((value, i) => {
      const y = value ? high : low, x = left + column * i;
      path += `${i ? "L" : "M"}${x} ${y}H${x + column}`;
      if (signal.told && signal.told[i]) parts.push(svg("path", {d: `M${x} ${y}H${x + column}`, class: "matters"}));
    });
    parts.push(svg("path", {d: path, class: "wave " + signal.kind}));
  });
  const y = (rows.length + 1) * row + 2;
  parts.push(svg("text", {x: left - 8, y: y + 14, class: "signal"}, "phase"));
  for (let i = 0; i < counterexample.phases.length;) {
    let end = i;
    while (end < counterexample.phases.length && counterexample.phases[end] === counterexample.phases[i]) ++end;
    parts.push(svg("rect", {x: left + column * i, y, width: column * (end - i), height: row - 4, class: "phase"}));
    parts.push(svg("text", {x: left + column * i + 4, y: y + 13, class: "phase"}, counterexample.phases[i]));
    i = end;
  }
  const words = rows.map((s) => `${spaced(s.name)}: ${s.values.join(" ")}`).join("; ");
  return h("div", {class: "scroll picture", tabindex: "0", role: "region", "aria-label": "Timing diagram"},
    svg("svg", {viewBox: `0 0 ${width} ${height}`, width, height, class: "timing", role: "img",
      "aria-label": `Scan by scan, ${words}; phase: ${counterexample.phases.join(" ")}; violated in scan ${counterexample.violated_in}.`}, parts));
}
