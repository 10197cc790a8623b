// Tables that can be searched, narrowed down and paged; with any number of rows.

const rowsAtOnce = 200;

/**
 * table({
 *   caption: what it shows,
 *   columns: [{title, cell: (row) => text or element, head: true for the row's heading, cls}],
 *   rows: array,
 *   search: (row) => text searched; without it there is no field for it
 *   filters: [{title, of: (row) => word or array of words, initial}]
 *   rowId: (row) => id, kind: (row) => class,
 *   empty: what to say without rows
 * })
 */
function table(options) {
  const body = h("tbody");
  const count = h("p", {class: "count", role: "status"});
  const more = h("button", {type: "button", class: "more", onclick: () => show(shown + 5 * rowsAtOnce)});
  const element = h("table", {class: options.cls},
    h("caption", {}, options.caption),
    h("thead", {}, h("tr", {}, options.columns.map((c) => h("th", {scope: "col", class: c.cls}, c.title)))),
    body);
  const controls = h("div", {class: "controls"});
  const box = h("div", {class: "scroll", tabindex: "0", role: "region", "aria-label": "Table: " + options.caption}, element);
  const whole = h("div", {class: "table"}, controls, count, box, more);

  let texts = null; // made when somebody searches: thousands of rows are not worth it before
  const selects = [];
  let words = [];
  let chosen = options.rows;
  let shown = 0;

  if (options.search) {
    controls.append(h("label", {}, "Search ",
      h("input", {type: "search", oninput: (event) => {
        words = event.target.value.toLowerCase().split(/\s+/).filter(Boolean);
        choose();
      }})));
  }
  for (const filter of options.filters || []) {
    const values = new Set();
    for (const row of options.rows) [filter.of(row)].flat().forEach((v) => values.add(v));
    if (values.size < 2) continue;
    const select = h("select", {onchange: choose}, h("option", {value: ""}, "all"),
      [...values].sort().map((v) => h("option", {value: v}, spaced(v))));
    selects.push([filter, select]);
    controls.append(h("label", {}, filter.title + " ", select));
  }

  function choose() {
    if (words.length) texts ??= options.rows.map((row) => options.search(row).toLowerCase());
    chosen = options.rows.filter((row, i) =>
      words.every((word) => texts[i].includes(word)) &&
      selects.every(([filter, select]) => !select.value || [filter.of(row)].flat().includes(select.value)));
    body.replaceChildren();
    shown = 0;
    show(rowsAtOnce);
  }

  function show(upTo) {
    const part = chosen.slice(shown, upTo).map((row) =>
      h("tr", {id: options.rowId && options.rowId(row), class: options.kind && options.kind(row)},
        options.columns.map((column) => column.head
          ? h("th", {scope: "row", class: column.cls, "data-title": column.title}, column.cell(row))
          : h("td", {class: column.cls, "data-title": column.title}, column.cell(row)))));
    body.append(...part);
    shown += part.length;
    if (chosen.length === 0) {
      body.append(h("tr", {}, h("td", {colspan: options.columns.length, class: "nothing"},
        options.rows.length ? "Nothing fits these filters." : options.empty || "None.")));
    }
    more.hidden = shown >= chosen.length;
    more.textContent = `Show more (${grouped(chosen.length - shown)} left)`;
    count.textContent = chosen.length === options.rows.length && shown === chosen.length
      ? plural(chosen.length, "row")
      : `${grouped(shown)} of ${grouped(chosen.length)} rows that fit, of ${grouped(options.rows.length)} in all`;
    count.hidden = !controls.firstChild && options.rows.length <= rowsAtOnce;
  }

  /** Narrows the table down to the rows that hold this text. */
  whole.search = (text) => {
    for (const [, select] of selects) select.value = "";
    controls.querySelector("input").value = text;
    words = [text.toLowerCase()];
    choose();
  };

  choose();
  return whole;
}

/** A small table of names and values. */
function facts(caption, pairs) {
  return h("table", {class: "facts"}, h("caption", {}, caption),
    h("tbody", {}, pairs.map(([name, value]) => h("tr", {}, h("th", {scope: "row"}, name), h("td", {}, value)))));
}
