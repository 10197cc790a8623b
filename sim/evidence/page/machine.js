// I/O list and settings.

function machineSection(d) {
  const m = d.machine;
  return [
    m.load ? h("p", {}, "Treats: ", m.load) : null,
    h("h3", {id: "io"}, "I/O list"),
    table({
      caption: "Terminals of the controller; letters of tags: ISA-5.1, contactors IEC 81346-2",
      cls: "stack",
      columns: [
        {title: "tag", head: true, cell: (r) => r.tag},
        {title: "type", cell: (r) => r.type},
        {title: "what", cell: (r) => r.what},
        {title: "electrical", cell: (r) => r.electrical},
      ],
      rows: m.io,
    }),
    h("h3", {}, "Settings and figures of the machine file"),
    table({
      caption: `Everything that ${m.file} says or leaves at its default`,
      cls: "stack settings",
      columns: [
        {title: "key", head: true, cell: (r) => h("code", {}, r.key)},
        {title: "value", cls: "num", cell: (r) => r.changed ? h("strong", {}, r.value) : r.value},
        {title: "default", cls: "num", cell: (r) => r.default || "none"},
        {title: "may be", cell: (r) => r.accepts},
        {title: "what it is, and where default and range come from", cell: (r) => [r.what, r.source ? ". " + capital(r.source) : ""]},
      ],
      rows: m.settings,
      search: (r) => `${r.key} ${r.value} ${r.what} ${r.source}`,
      filters: [
        {title: "Group", of: (r) => r.key.split(".")[0]},
        {title: "Used by", of: (r) => r.fills.split(", ")},
        {title: "Value", of: (r) => r.changed ? "stated" : "as default"},
      ],
    }),
  ];
}
