// What is to be checked on the real oven, with room for who did it; and the alarm list.

const sign = {title: "result, name, date", cls: "sign", cell: () => ""};

/** Isolation stands first, restoration last. */
const steps = (row) => h("ol", {class: "steps"}, [row.isolate, row.do, row.restore].map((text) => h("li", {}, text)));

const points = (...texts) => h("ul", {}, texts.map((text) => h("li", {}, text)));

/** What holds for every row of the two tables. */
function beforeWork() {
  return [
    h("h3", {id: "oxygen-deficiency"}, "Oxygen deficiency: before any work at chamber, exhaust or gas lines"),
    h("div", {class: "caution"}, points(
      "Inert gas has no smell and gives no warning: two breaths can be enough to faint. It collects in the chamber, in the exhaust duct, in cabinets and pits; argon and cold gas sink.",
      "Shut the gas supply, lock and tag it, vent the line outdoors. Keep clear of the mouth of the exhaust.",
      "Ventilate before and during the work. Each person wears a portable oxygen monitor, tested that day. Do not enter, and do not stay, below 19.5 % (OSHA 29 CFR 1910.146 (b); EIGA Doc 44); local rules may demand more.",
      "If any monitor alarms, leave at once, warn others, and shut the supply from outside. Enter again only when the room is ventilated and measured.",
      "Nobody leans or reaches into the chamber before a probe on a rod reads air (20.9 %) at its top, middle and bottom, with the door open and the gas locked off; go on measuring.",
      "Entering with the body is work in a confined space: permit, attendant outside, means of rescue. Nobody goes in after a fallen person without breathing apparatus.")),
    h("h3", {}, "Set-up of the tests"),
    points(
      "Isolate: switch off, lock, tag, try to start, prove dead with a tester that is proved on a live source before and after. Each person has a lock of their own. Springs, pressure and heat are energy, too.",
      "Supply voltages: work at live terminals of 24 V DC only; everything else in the compartment is dead or covered.",
      "Dry test air: from a cylinder with a regulator, through a connection made for it, never tied to a network of breathing or process air. It gives flow and pressure without a lack of oxygen. Purge the lines with inert gas before a load is treated.",
      "Cold cycle: the controller runs on the cold, empty oven while its contactors switch nothing. With test air the oxygen alarm follows after some minutes: finish the test before, or feed the oxygen input from a signal source, stepped down along the purge curve under Sizing.",
      "Heating: reached in the cold cycle with the oxygen input fed in that way. Finish before the alarm for a missing temperature rise. If inert gas must be used instead, lead the exhaust outdoors, keep the door shut, and follow the rules on oxygen deficiency above.",
      "Signals are fed at the controller's terminals; a sensor is never taken out of the oven. Feed them with the oven in standby, door open, chamber reading air."),
  ];
}

/** What the operating instructions must say of the open door, with the figures of this machine. */
function atTheOpenDoor(u) {
  return [
    h("h3", {id: "open-door"}, "The open door, for the operating instructions"),
    h("div", {class: "caution"}, points(
      `Open the door fully, stand clear at its side, and wait ${duration(u.airing_s)} before anybody reaches in, after every opening, also after a trip and to load.`,
      u.needed_s === null ? "The simulated chamber does not get back to 19.5 % oxygen within an hour: it must be aired by other means."
        : `The simulated chamber, inert before, is below 19.5 % oxygen for ${duration(u.needed_s)} after the opening. Witness it: probes at top, middle and bottom of the chamber, a real load, ventilation at its least. The longest time counts.`,
      "Gas that is heard or shown to flow while the door is open: step back, shut the hand valve of the supply, leave the room if its monitor alarms.",
      `The oven asks to be unloaded at ${unit(u.unload_degC, "°C")} by its thermocouple; load and walls may be hotter. What people wear must allow ${unit(u.handling_degC, "°C")}: measure load and wall with a contact thermometer before the first unloading by hand.`)),
  ];
}

function commissioningSection(d) {
  const c = d.commissioning;
  const time = (row) => row.expected_s === null ? "set by the process: enter the value"
    : `${duration(row.expected_s)}, at most ${duration(row.latest_s)}`;
  return [
    h("p", {}, "Made from the I/O list and the matrix of this firmware with the settings of this machine. ",
      `Times run from the moment the cause shows at the terminals to the moment the controller's outputs change; the tolerance is two scans of ${duration(c.scan_s)}. `,
      `Contactors may take up to ${duration(c.contactor_s)} more.`),
    h("div", {class: "caution"}, h("p", {}, h("strong", {}, "Caution: "),
      "Loop checks and witnessed trips are carried out by a competent person under local rules and a permit to work. ",
      "Every step is common practice, no source: the plant's own procedure, the makers' manuals and local codes come first. ",
      "Nobody works alone. The hard-wired protection is tested before anything else. ",
      "Undo every bridge, test supply and changed setting; have a second person see that it was undone.")),
    ...beforeWork(),
    ...atTheOpenDoor(c.unloading),
    h("h3", {}, "Loop checks"),
    table({
      caption: "Every terminal, from the device to the controller",
      cls: "stack check",
      columns: [
        {title: "tag", head: true, cell: (r) => [r.tag, h("span", {class: "sub"}, r.type)]},
        {title: "what", cell: (r) => r.what},
        {title: "steps", cell: steps},
        {title: "expected", cell: (r) => r.expect},
        sign,
      ],
      rows: c.loop_checks,
    }),
    h("h3", {}, "Witnessed trips and inhibits"),
    table({
      caption: "Every row of the matrix that can act on this machine",
      cls: "stack check",
      columns: [
        {title: "cause", head: true, cell: (r) => [to(idOf("cause", r.cause), r.text), h("span", {class: "sub"}, r.tag, r.tag ? " · " : "", r.kind)]},
        {title: "steps", cell: steps},
        {title: "expected off", cell: (r) => r.off.length === d.matrix.outputs.length ? "everything" : r.off.map(spaced).join(", ")},
        {title: "reaction time", cell: time},
        {title: "expected message", cell: (r) => r.kind === "trip" ? `first-out “${r.text}”, latched until reset` : "none; the output returns when the cause is gone"},
        sign,
      ],
      rows: c.witnessed,
      search: (r) => `${r.cause} ${r.text} ${r.tag} ${r.isolate} ${r.do}`,
      filters: [{title: "Kind", of: (r) => r.kind}],
    }),
    h("table", {class: "signatures"}, h("caption", {}, "Carried out and witnessed"),
      h("thead", {}, h("tr", {}, ["part", "name", "signature", "date"].map((t) => h("th", {scope: "col"}, t)))),
      h("tbody", {}, ["loop checks", "witnessed trips", "locks, bridges and settings restored", "released for use"].map((t) =>
        h("tr", {}, h("th", {scope: "row"}, t), h("td"), h("td"), h("td"))))),
  ];
}

function alarmsSection(d) {
  return [
    h("p", {}, "The trips as alarms, in the terms of ISA-18.2 and IEC 62682. Each is latched, acts by itself as the matrix says, and shows as first-out if it came first. ",
      "Priority, class and suppression belong to the plant's own rationalisation: the last column is left for it. Consequences and responses are common practice, no source."),
    table({
      caption: "Alarms",
      cls: "stack",
      columns: [
        {title: "tag", cell: (r) => r.tag},
        {title: "alarm", head: true, cell: (r) => to(idOf("cause", r.cause), r.text)},
        {title: "acts by itself on", cell: (r) => r.off.length === d.matrix.outputs.length ? "everything" : r.off.map(spaced).join(", ")},
        {title: "consequence if nobody acts", cell: (r) => r.consequence},
        {title: "operator response", cell: (r) => r.response},
        {title: "priority", cls: "sign", cell: () => ""},
      ],
      rows: d.alarms,
      search: (r) => `${r.tag} ${r.text} ${r.cause} ${r.consequence} ${r.response}`,
    }),
  ];
}
