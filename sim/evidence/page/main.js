// Puts the page together.

const sections = [
  ["summary", "Summary", summary],
  ["cycle", "Cycle", cycleSection],
  ["matrix", "Cause and effect", matrixSection],
  ["state-chart", "State chart", stateChartSection],
  ["hazards", "Hazards", hazardsSection],
  ["proofs", "Proofs", proofsSection],
  ["failures", "Failure modes", failuresSection],
  ["scenarios", "Scenarios", scenariosSection],
  ["sizing", "Sizing", sizingSection],
  ["settings", "I/O and settings", machineSection],
  ["commissioning", "Commissioning", commissioningSection],
  ["alarms", "Alarms", alarmsSection],
  ["files", "Build and files", filesSection],
];

const given = JSON.parse(document.getElementById("document").textContent);
put(document.getElementById("top"), header(given));
const main = document.getElementById("main");
put(document.getElementById("contents"),
  h("ol", {}, sections.map(([id, title]) => h("li", {}, to(id, title)))));
put(document.getElementById("end"), h("p", {}, given.summary.cautions[0]));

const charts = () => [...trendGroups.flatMap((group) => group.charts), ...sizingCharts];

// Charts are as wide as their place, and drawn again when the colours change.
function fit() {
  for (const chart of charts()) {
    const width = chart.root.closest(".charts").clientWidth;
    if (width > 0 && width !== chart.width) chart.setSize({width, height: chart.height});
  }
}
matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => charts().forEach((chart) => chart.redraw(false, true)));

// On paper everything is open, light and as wide as the sheet.
function forPaper(on) {
  document.documentElement.classList.toggle("paper", on);
  for (const one of document.querySelectorAll("details")) {
    if (on) one.dataset.was = one.open ? "open" : "shut";
    one.open = on || one.dataset.was === "open";
  }
  for (const chart of charts()) {
    if (on) chart.setSize({width: 690, height: chart.height});
    chart.redraw(false, true);
  }
  if (!on) fit();
}
addEventListener("beforeprint", () => forPaper(true));
addEventListener("afterprint", () => forPaper(false));

// A link may lead into a part that is folded away or on a later page of a table.
function reveal() {
  const target = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
  for (let at = target; at; at = at.parentElement) if (at.tagName === "DETAILS") at.open = true;
  if (target) target.scrollIntoView();
}
addEventListener("hashchange", reveal);

// The contents say where one is.
function follow() {
  const links = new Map([...document.querySelectorAll("#contents a")].map((a) => [a.hash.slice(1), a]));
  const seen = new IntersectionObserver((entries) => {
    for (const entry of entries) {
      const link = links.get(entry.target.id);
      if (entry.isIntersecting) {
        for (const other of links.values()) other.removeAttribute("aria-current");
        link.setAttribute("aria-current", "true");
      }
    }
  }, {rootMargin: "-20% 0px -75% 0px"});
  for (const [id] of sections) seen.observe(document.getElementById(id));
}

/** The first screen is on the screen before the rest is made. */
async function fill() {
  for (const [id, title, make] of sections) {
    main.append(h("section", {id, "aria-labelledby": id + "-title"}, h("h2", {id: id + "-title"}, title), make(given)));
    if (id === "summary") await new Promise((go) => setTimeout(go, 20));
  }
  new ResizeObserver(fit).observe(main);
  reveal();
  follow();
  document.documentElement.dataset.ready = "true";
}
fill();
