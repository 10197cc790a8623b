// One mark, one meaning, in light and in dark: what is drawn is what the legend says.
import assert from "node:assert/strict";
import {after, before, test} from "node:test";
import {openPack, opened, pack, packWith} from "./browser.mjs";
import {campaigned, refuted} from "./documents.mjs";

let browser;
before(async () => { browser = await opened(); });
after(() => browser.close());

/** Contrast of two colours of the style sheet, WCAG 2.2. */
const contrast = (page, one, other) => page.evaluate((names) => {
  const light = (name) => {
    const probe = document.createElement("i");
    probe.style.color = `var(${name})`;
    document.body.append(probe);
    const [r, g, b] = getComputedStyle(probe).color.match(/[\d.]+/g).map((v) => v / 255)
      .map((v) => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    probe.remove();
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const [a, b] = names.map(light).sort((x, y) => y - x);
  return (a + 0.05) / (b + 0.05);
}, [one, other]);

for (const scheme of ["light", "dark"]) {
  test(`in ${scheme} "on" is the filled bar, and no legend calls it by a shade`, async () => {
    const {page, close} = await openPack(browser, pack, {scheme});
    try {
      const legend = await page.textContent("#trends");
      assert.doesNotMatch(legend, /(dark|light)\w*: /i);
      assert.match(legend, /on.*off.*state.*trip.*hazard/s);
      const [bar, sample] = await page.evaluate(() => {
        const probe = document.createElement("i");
        probe.style.color = "var(--bar)";
        document.body.append(probe);
        return [getComputedStyle(probe).color, getComputedStyle(document.querySelector("#trends .sample .on")).fill];
      });
      assert.equal(sample, bar);
      assert.ok(await contrast(page, "--bar", "--raised") >= 3, "a bar that is on stands out of the ground");
      assert.ok(await contrast(page, "--bar", "--band") >= 1.8, "a bar that is on is not taken for a state");
    } finally {
      await close();
    }
  });
}

test("every mark before a word is in the legend, with the one kind of word it stands for", async () => {
  const other = packWith((d) => { refuted(d); campaigned(d, 30); });
  const {page, close} = await openPack(browser, other.folder);
  try {
    const found = await page.$$eval(".status", (all) => all.filter((e) => !e.closest(".legend")).map((e) =>
      [e.classList[1], (e.querySelector("[aria-hidden]") || {textContent: ""}).textContent.trim()]));
    const marks = new Map();
    for (const [kind, mark] of found) {
      assert.ok(!marks.has(mark) || marks.get(mark) === kind, `${mark} is ${kind} and ${marks.get(mark)}`);
      marks.set(mark, kind);
    }
    assert.ok(marks.size >= 4);
    const legend = await page.$$eval("#summary .legend dt", (all) => all.map((e) => e.textContent.trim()).filter(Boolean));
    assert.deepEqual(legend.filter((mark, i) => legend.indexOf(mark) !== i), []);
    for (const mark of marks.keys()) assert.ok(legend.includes(mark), mark);
    const drawn = await page.$$eval("#trends .legend dt", (all) => all.map((e) => e.textContent.trim()).filter(Boolean));
    assert.equal(drawn.length, 3);
    for (const mark of drawn) assert.ok(legend.includes(mark), mark);
    // A trip or hazard in the list of events has the mark that the chart has.
    const [trip, hazard] = drawn;
    assert.equal(marks.get(trip), "warn");
    assert.equal(marks.get(hazard), "bad");
  } finally {
    await close();
    other.remove();
  }
});

test("isolation is the first step of every test on the page, and oxygen deficiency stands before them", async () => {
  const {page, close} = await openPack(browser, pack);
  try {
    const first = await page.$$eval("#commissioning .steps", (all) => all.map((e) => e.querySelector("li").textContent));
    assert.ok(first.length > 60);
    for (const step of first) assert.match(step, /^(Isolate |No isolation: )/);
    const words = await page.textContent("#commissioning");
    assert.ok(words.indexOf("19.5 %") > 0 && words.indexOf("19.5 %") < words.indexOf("Every terminal"));
  } finally {
    await close();
  }
});
