// How values are written.

/** 3723.4 -> "1:02:03" */
function clock(s) {
  if (s === null || s === undefined) return "";
  const whole = Math.floor(s);
  const two = (n) => String(n).padStart(2, "0");
  return `${Math.floor(whole / 3600)}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}`;
}

/** 0.05 -> "50 ms", 3 -> "3 s", 900 -> "15 min" */
function duration(s) {
  if (s === null || s === undefined) return "";
  if (s < 1) return `${number(s * 1000)} ms`;
  if (s < 120) return `${number(s)} s`;
  if (s < 7200) return `${number(s / 60)} min`;
  return `${number(s / 3600)} h`;
}

/** At most `digits` significant digits, and no exponent where people read it. */
function number(value, digits = 4) {
  if (value === null || value === undefined) return "–";
  if (value === 0) return "0";
  const size = Math.floor(Math.log10(Math.abs(value)));
  return String(Number(value.toFixed(Math.min(Math.max(digits - 1 - size, 0), 12))));
}

const grouped = (count) => String(count).replace(/\B(?=(\d{3})+$)/g, "\u202f"); // narrow, and no line is broken there
/** Long numbers in a text, in groups of three digits. */
const withGroups = (text) => text.replace(/\b\d{5,}\b/g, grouped);
/** "in ramp for 60000 ms" -> "in ramp for 60 s" */
const withDurations = (text) => text.replace(/\b(\d+) ms\b/g, (_, ms) => duration(Number(ms) / 1000));
const plural = (count, word) => `${grouped(count)} ${word}${count === 1 ? "" : "s"}`;
const spaced = (name) => String(name).replaceAll("_", " ");
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);
