// Hazards and how each is met; requirements with what carries them.

/** A text in which ids of requirements become links. */
function withLinks(text) {
  return text.split(/(\bR-[A-Z]+(?:-[A-Z]+)*)/).map((part) => /^R-/.test(part) ? to(idOf("req", part), part) : part);
}

/** A link to the scenarios that carry this id. */
function casesLink(id, text) {
  return h("a", {href: "#scenarios", onclick: () => scenarioTable && scenarioTable.search(id)}, text);
}

function hazardsSection(d) {
  const proved = Object.fromEntries(((d.proof && d.proof.claims) || []).map((claim) => [claim.id, claim.standing]));
  const requirement = Object.fromEntries(d.requirements.map((each) => [each.id, each]));
  return [
    h("p", {}, "Each hazard is a physical condition of the oven, judged on its actual state and never on what the controller believes. ",
      "The list is a beginning; the machine's own risk assessment decides what belongs on it."),
    d.hazards.map((hazard) => hazardPart(d, hazard, requirement, proved)),
    h("h3", {id: "requirements"}, "Requirements"),
    table({
      caption: "Rules that the controller must keep, and what shows them",
      cls: "stack",
      columns: [
        {title: "id", head: true, cell: (r) => r.id},
        {title: "rule", cell: (r) => r.text},
        {title: "proofs", cell: (r) => r.proofs.length
          ? r.proofs.map((id, i) => [i ? ", " : "", to(idOf("claim", id), id), proved[id] === "proved" ? "" : [" ", status("bad", proved[id])]])
          : "none"},
        {title: "scenario cases that passed", cell: (r) => !r.carried ? "none played" : r.carried.cases === 0 ? status("warn", "none")
          : [casesLink(r.id, `${r.carried.passed} of ${r.carried.cases}`), r.carried.passed < r.carried.cases ? [" ", status("bad", "failures")] : ""]},
      ],
      rows: d.requirements,
      rowId: (r) => idOf("req", r.id),
      search: (r) => `${r.id} ${r.text}`,
      filters: [{title: "Shown by", of: (r) => [r.proofs.length ? "a proof" : "no proof", r.carried && r.carried.cases ? "a scenario" : "no scenario"]}],
    }),
  ];
}

function hazardPart(d, hazard, requirement, proved) {
  const came = (hazard.scenarios && hazard.scenarios.came_about) || [];
  const accepted = d.campaign ? Object.fromEntries(d.campaign.modes.map((mode) => [mode.id, mode.accepted])) : {};
  const bad = came.length > 0 || (hazard.campaign && hazard.campaign.modes.some((id) => !accepted[id])) || (hazard.cycle && !hazard.cycle.avoided && !hazard.cycle.waived);
  const tried = hazard.cycle || (hazard.scenarios && hazard.scenarios.judged);
  const proofs = hazard.requirements.flatMap((id) => (requirement[id] || {proofs: []}).proofs);
  const open = proofs.filter((id) => proved[id] !== "proved");
  const waived = (hazard.scenarios && hazard.scenarios.waived) || [];
  const aside = [waived.length ? "where it is waived" : "", hazard.campaign && hazard.campaign.singles ? "after single failures for which it is accepted" : "",
    hazard.campaign && hazard.campaign.pairs ? "after two failures" : ""].filter(Boolean);
  return h("article", {class: "hazard", id: idOf("hazard", hazard.id)},
    h("h3", {}, capital(hazard.title)),
    h("p", {}, bad ? status("bad", "occurred") : !tried ? status("warn", "not tried")
      : aside.length ? status("none", `occurred only ${aside.join(", and ")}`) : status("good", "did not occur in anything tried"),
      " · ", h("code", {}, hazard.id)),
    h("dl", {class: "pairs"},
      h("dt", {}, "Can lead to"), h("dd", {}, hazard.consequence),
      h("dt", {}, "Causes"), h("dd", {}, hazard.brought_about_by),
      h("dt", {}, "Protects against it"), h("dd", {}, withLinks(hazard.against)),
      h("dt", {}, "Proofs"), h("dd", {}, proofs.length === 0 ? "none" : [
        proofs.map((id, i) => [i ? ", " : "", to(idOf("claim", id), id)]),
        d.proof ? [": ", open.length ? status("bad", `${open.length} not proved`) : "all proved"] : ""]),
      h("dt", {}, "Scenarios"), h("dd", {}, !hazard.scenarios ? "none played" : [
        `${grouped(hazard.scenarios.judged)} cases judged on it; `,
        casesLink(hazard.id, `${grouped(hazard.carried.cases)} made for it`),
        came.length ? [h("br"), status("bad", "occurred in: " + came.join(", "))] : "",
        waived.length ? [h("br"), `caused on purpose and waived, with a reason, in ${plural(waived.length, "case")}`] : ""]),
      campaignRow(d, hazard),
      hazard.cycle ? [h("dt", {}, "Whole cycles"), h("dd", {}, `${hazard.cycle.avoided ? "avoided" : "occurred"}; margin: ${hazard.cycle.margin}`)] : "",
      h("dt", {}, "Must hold"), h("dd", {}, h("code", {}, hazard.property))));
}

/** What the campaign says of one hazard. */
function campaignRow(d, hazard) {
  if (!hazard.campaign) return "";
  const {singles, pairs, modes} = hazard.campaign;
  const accepted = Object.fromEntries(d.campaign.modes.map((mode) => [mode.id, mode.accepted]));
  return [h("dt", {}, "Failure modes"), h("dd", {}, singles + pairs === 0 ? "none caused it" : [
    singles ? ["single failures: ", modes.map((id, i) => [i ? ", " : "", to(idOf("mode", id), id),
      accepted[id] ? " (accepted)" : [" ", status("bad", "not accepted")]]), ` in ${plural(singles, "injection")}`] : "no single failure",
    pairs ? `; ${plural(pairs, "pair")} of failures` : ""])];
}
