// Elements from plain calls. Text is only ever set as text: nothing in the data is taken for markup.

/** h("td", {class: "x", onclick: f}, "text", element, [more]) */
function h(tag, attributes, ...children) {
  return build(document.createElement(tag), attributes, children);
}

function svg(tag, attributes, ...children) {
  return build(document.createElementNS("http://www.w3.org/2000/svg", tag), attributes, children);
}

function build(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes || {})) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value === true ? "" : String(value));
  }
  put(element, children);
  return element;
}

function put(element, children) {
  for (const child of [children].flat(Infinity)) {
    if (child === undefined || child === null || child === false) continue;
    element.append(...(child instanceof Node ? [child] : breakable(String(child))));
  }
}

/** A text that may be broken inside words that are too long for any column. */
function breakable(text) {
  if (!/\S{29}/.test(text)) return [text];
  return text.split(/(\S{28})(?=\S)/).filter(Boolean)
    .flatMap((part) => part.length === 28 && !/\s/.test(part) ? [part, document.createElement("wbr")] : [part]);
}

const css = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();

/** A link within the page. */
const to = (id, ...text) => h("a", {href: "#" + id}, ...text);

/** An id made of any text. */
const idOf = (prefix, text) => prefix + "-" + String(text).replace(/[^A-Za-z0-9_-]+/g, "-");

/** A part that can be folded away; print shows it open. */
function fold(title, open, ...children) {
  return h("details", {class: "fold", open}, h("summary", {}, title), ...children);
}
