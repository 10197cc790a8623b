// Failure modes, the outcome of each, and every injection.

const outcomeWords = {
  hazardous: ["bad", "hazardous"],
  unnoticed: ["warn", "unnoticed"],
  noticed: ["good", "noticed"],
  outage: ["none", "outage"],
  no_effect: ["none", "no effect"],
};

/** Rows of the columns, as objects that look things up when they are asked. */
function injections(c) {
  const second = new Map(c.rows.second.map((one) => [one[0], one]));
  const hazards = new Map();
  for (const hit of c.rows.hazards) hazards.set(hit[0], [...(hazards.get(hit[0]) || []), hit]);
  return c.rows.mode.map((_, i) => ({
    number: i,
    get mode() { return c.modes[c.rows.mode[i]]; },
    get onset() { return this.mode.onsets[c.rows.onset[i]]; },
    get instant() { return c.instants[c.rows.instant[i]]; },
    get outcome() { return c.outcomes[c.rows.outcome[i]]; },
    get told() { return c.rows.cause[i] < 0 ? null : c.causes[c.rows.cause[i]] || "a message without a trip"; },
    get right() { return c.rows.right[i] === 1; },
    get reaction() { return c.rows.reaction_s[i]; },
    get second() {
      const two = second.get(i);
      return two && {mode: (two[1] ? c.demands : c.modes)[two[2]], instant: c.instants[two[4]]};
    },
    hazards: hazards.get(i) || [],
  }));
}

/** "9 hazardous", "11 noticed", a line each; outcomes that none had are left out. */
function cameTo(c, mode) {
  return (mode.outcomes || []).map((count, i) => count ? h("span", {class: "line"}, `${count} ${outcomeWords[c.outcomes[i]][1]}`) : "");
}

function failuresSection(d) {
  const c = d.campaign;
  if (!c) return [h("p", {class: "nothing"}, "Failure modes were not injected one by one.")];
  const rows = injections(c);
  const title = Object.fromEntries(d.hazards.map((each) => [each.id, each.title]));
  const counts = c.outcomes.map((name, i) => [name, c.rows.outcome.filter((o) => o === i).length]);
  const worst = (m) => m.excluded ? "excluded" : m.worst || "not injected";
  return [
    h("p", {}, `${plural(c.modes.length, "failure mode")} of the components, injected ${grouped(c.singles)} times all over the cycles`,
      c.pairs ? `, and ${plural(c.pairs, "pair")} of failures` : "",
      ". Each is judged by what physically happens in the oven, and by whether there is a message. Random moments from seed ", c.seed, "."),
    h("table", {class: "figures"}, h("caption", {}, "Outcomes of the injections"),
      h("thead", {}, h("tr", {}, h("th", {scope: "col"}, "outcome"), h("th", {scope: "col", class: "num"}, "injections"))),
      h("tbody", {}, counts.map(([name, count]) => h("tr", {},
        h("th", {scope: "row"}, count ? status(...outcomeWords[name]) : outcomeWords[name][1]), h("td", {class: "num"}, grouped(count)))))),
    h("h3", {}, "By failure mode"),
    table({
      caption: "Failure modes, each with its worst outcome",
      cls: "stack",
      columns: [
        {title: "mode", head: true, cell: (m) => [m.id, h("span", {class: "sub"}, m.what),
          h("span", {class: "sub"}, "from ", m.source, m.note ? `; ${m.note}` : "")]},
        {title: "worst", cell: (m) => m.excluded ? ["excluded: ", m.excluded]
          : m.worst ? [status(...(m.worst === "hazardous" && m.accepted ? ["warn", "hazardous, accepted"] : outcomeWords[m.worst])),
            m.accepted ? h("span", {class: "sub"}, m.accepted) : ""] : "not injected"},
        {title: "injections", cls: "num", cell: (m) => cameTo(c, m)},
        {title: "slowest reaction", cls: "num", cell: (m) => duration(m.slowest_s)},
        {title: "message names another part", cls: "num", cell: (m) => m.wrong_first_outs || ""},
      ],
      rows: c.modes,
      rowId: (m) => idOf("mode", m.id),
      search: (m) => `${m.id} ${m.what} ${m.component} ${m.kind} ${m.source} ${m.accepted} ${m.excluded}`,
      filters: [
        {title: "Component", of: (m) => m.kind},
        {title: "Worst", of: worst},
      ],
    }),
    fold(`Every injection (${plural(rows.length, "row")})`, false, table({
      caption: "Injections",
      cls: "stack",
      columns: [
        {title: "no.", cls: "num", cell: (r) => r.number},
        {title: "mode", head: true, cell: (r) => [to(idOf("mode", r.mode.id), r.mode.id), h("span", {class: "sub"}, r.onset,
          r.second ? [", then ", r.second.mode.id, " at ", r.second.instant.id] : "")]},
        {title: "at", cell: (r) => [r.instant.id, h("span", {class: "sub"}, spaced(r.instant.phase), ", ", clock(r.instant.s))]},
        {title: "outcome", cell: (r) => status(...outcomeWords[r.outcome])},
        {title: "message", cell: (r) => r.told === null ? "none" : [spaced(r.told), r.right ? "" : h("span", {class: "sub"}, "names another part")]},
        {title: "after", cls: "num", cell: (r) => duration(r.reaction)},
        {title: "hazards", cell: (r) => r.hazards.map(([, hazard, first, lasted, beyond, name], i) => [i ? h("br") : "",
          to(idOf("hazard", c.hazards[hazard]), title[c.hazards[hazard]]), ` after ${duration(first)} for ${duration(lasted)}`,
          name ? `, ${number(beyond, 3)} ${name} beyond` : ""])},
      ],
      rows,
      search: (r) => `${r.mode.id} ${r.mode.what} ${r.instant.id} ${r.told || ""} ${r.hazards.map((hit) => c.hazards[hit[1]]).join(" ")}`,
      filters: [
        {title: "Outcome", of: (r) => r.outcome},
        {title: "Phase", of: (r) => r.instant.phase},
        {title: "Component", of: (r) => r.mode.kind},
        {title: "Failures", of: (r) => r.second ? "two" : "one"},
        {title: "Message", of: (r) => r.told === null ? "none" : r.right ? "names the part" : "names another part"},
      ],
    })),
    h("p", {class: "note"}, "All of it is in ", h("a", {href: "campaign.json"}, "campaign.json"), "."),
  ];
}
