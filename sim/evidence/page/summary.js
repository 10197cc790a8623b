// The first screen: in words.

function header(d) {
  const failed = d.summary.refuted.length;
  return [
    h("p", {class: "kind"}, "Evidence for the control firmware of an inert-gas oven"),
    h("h1", {}, d.machine.name),
    h("p", {class: "verdict"},
      status(failed ? "bad" : d.summary.accepted.length ? "warn" : "good", d.summary.verdict)),
    h("p", {class: "build"},
      d.made.date ? `${d.made.date} · ` : "", d.made.program,
      " · firmware ", h("code", {title: d.made.firmware_sources}, d.made.firmware_sources.slice(0, 12)),
      " · program ", h("code", {title: d.made.program_sources}, d.made.program_sources.slice(0, 12)),
      " · ", to("files", "build and files")),
  ];
}

function summary(d) {
  const s = d.summary;
  const list = (title, cls, items, none) => h("section", {class: "words " + cls},
    h("h3", {}, title),
    items.length
      ? h("ul", {}, items.map((one) => h("li", {}, one.link ? to(one.link.slice(1), withGroups(one.text)) : withGroups(one.text))))
      : h("p", {class: "nothing"}, none));
  return [
    h("p", {class: "lead"}, `${d.machine.name}: `, d.machine.description),
    h("div", {class: "grid"},
      list("Refuted", "refuted" + (s.refuted.length ? " bad" : ""), s.refuted, "Nothing that was tried failed."),
      s.accepted.length ? list("Hazardous, and accepted", "refuted", s.accepted) : "",
      list("Shown", "shown", s.shown, "Nothing."),
      list("Not covered", "open", s.not_covered, "Nothing that is known."),
      list("Assumed", "assumed", s.assumed, "Nothing.")),
    fold("Marks on this page", false, marksLegend()),
    h("section", {class: "caution", "aria-label": "Cautions"}, h("h3", {}, "Caution"),
      s.cautions.map((text) => h("p", {}, text))),
  ];
}

function filesSection(d) {
  return [
    facts("What made this pack", [
      ["program", d.made.program],
      ["sources of the program, SHA-256", h("code", {class: "hash"}, d.made.program_sources)],
      ["sources of the firmware, SHA-256", h("code", {class: "hash"}, d.made.firmware_sources)],
      ["made again by", h("code", {}, d.made.command)],
      ["date, as stated", d.made.date || "none stated"],
      ...Object.entries(d.made.libraries),
    ]),
    h("h3", {}, "Files beside this page"),
    h("ul", {class: "files"}, d.files.map((file) =>
      h("li", {}, h("a", {href: file.name}, file.name), ": ", file.what))),
    h("p", {}, "manifest.json lists every input and output with its size and SHA-256. ",
      "No time of day is in the pack: the same inputs give the same bytes."),
  ];
}
