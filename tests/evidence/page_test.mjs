// The page as people use it: from disk, without a network, by mouse and by keyboard.
import assert from "node:assert/strict";
import {existsSync, readFileSync, statSync} from "node:fs";
import {join} from "node:path";
import {after, before, test} from "node:test";
import {givenDocument, openPack, opened, pack} from "./browser.mjs";

let browser;
before(async () => { browser = await opened(); });
after(() => browser.close());

/** Opens the pack's own page for one test. */
const withPage = (name, work, options) => test(name, async () => {
  const {page, troubles, close} = await openPack(browser, pack, options);
  try {
    await work(page);
    assert.deepEqual(troubles, []);
  } finally {
    await close();
  }
});

const section = (page) => page.$eval("#cycle .live", (e) => [Number(e.dataset.from), Number(e.dataset.to)]);

test("the page is one file of less than 3 MB", () => {
  assert.ok(statSync(join(pack, "index.html")).size < 3e6);
});

withPage("opens from disk without a network and shows what was found", async (page) => {
  const d = givenDocument();
  assert.equal(await page.textContent("h1"), d.machine.name);
  assert.match(await page.textContent(".verdict"), d.summary.holds ? /HOLDS/ : /FAILS/);
  const words = (await page.textContent("#summary")).replaceAll("\u202f", ""); // between groups of digits
  for (const word of d.summary.shown) assert.ok(words.includes(word.text), word.text);
  assert.equal(await page.locator("table.matrix tbody tr").count(), d.matrix.rows.length);
  assert.equal(await page.locator("svg.states").count(), d.state_chart.regions.length);
});

withPage("every link leads somewhere", async (page) => {
  const links = await page.$$eval("a[href]", (all) => all.map((a) => a.getAttribute("href")));
  assert.ok(links.length > 50);
  const ids = new Set(await page.$$eval("[id]", (all) => all.map((e) => e.id)));
  const dead = links.filter((link) => link.startsWith("#") ? !ids.has(link.slice(1)) : !existsSync(join(pack, link)));
  assert.deepEqual([...new Set(dead)], []);
});

test("what is out of sight is laid out when it is scrolled to, and printed all the same", async () => {
  const {page, troubles, close} = await openPack(browser, pack, {whole: false});
  try {
    const skipped = () => page.$eval("#alarms td", (e) => !e.checkVisibility({contentVisibilityAuto: true}));
    assert.equal(await skipped(), true);
    await page.click("#contents a[href='#alarms']");
    await page.waitForFunction(() => Math.abs(document.querySelector("#alarms").getBoundingClientRect().top) < 40);
    assert.equal(await skipped(), false);
    await page.evaluate(() => scrollTo(0, 0));
    await page.emulateMedia({media: "print"});
    assert.equal(await skipped(), false);
    assert.deepEqual(troubles, []);
  } finally {
    await close();
  }
});

withPage("no two elements share an id", async (page) => {
  const ids = await page.$$eval("[id]", (all) => all.map((e) => e.id));
  assert.deepEqual(ids.filter((id, i) => ids.indexOf(id) !== i), []);
});

withPage("a table shows the rows that hold the words searched, and says how many", async (page) => {
  const settings = page.locator("#settings .table", {has: page.locator("table.settings")});
  const all = await settings.locator("tbody tr").count();
  const key = givenDocument().machine.settings.at(-1).key;
  await settings.locator("input[type=search]").fill(key);
  const found = await settings.locator("tbody tr").allTextContents();
  assert.ok(found.length > 0 && found.length < all);
  for (const row of found) assert.ok(row.includes(key));
  assert.ok((await settings.locator(".count").textContent()).startsWith(`${found.length} of ${found.length}`));
  await settings.locator("input[type=search]").fill("no such words");
  assert.match(await settings.locator("tbody").textContent(), /Nothing fits/);
});

withPage("a filter narrows a table down to its value", async (page) => {
  const table = page.locator("#commissioning .table").last();
  await table.locator("select").selectOption("inhibit");
  const d = givenDocument();
  assert.equal(await table.locator("tbody tr").count(), d.commissioning.witnessed.filter((r) => r.kind === "inhibit").length);
});

withPage("dragging across a chart zooms every chart to that section", async (page) => {
  const [from, until] = await section(page);
  const over = page.locator("#trends .u-over").first();
  const box = await over.boundingBox();
  await over.scrollIntoViewIfNeeded();
  const at = await over.boundingBox();
  await page.mouse.move(at.x + box.width * 0.25, at.y + 40);
  await page.mouse.down();
  await page.mouse.move(at.x + box.width * 0.5, at.y + 45, {steps: 5});
  await page.mouse.up();
  const [a, b] = await section(page);
  assert.ok(Math.abs(a - (from + (until - from) * 0.25)) < (until - from) * 0.02);
  assert.ok(Math.abs(b - (from + (until - from) * 0.5)) < (until - from) * 0.02);
});

withPage("the keyboard zooms, moves and shows the whole run again", async (page) => {
  const [from, until] = await section(page);
  await page.locator("#trends").focus();
  await page.keyboard.press("+");
  const [a, b] = await section(page);
  assert.ok(Math.abs((b - a) - (until - from) / 2) < 1);
  await page.keyboard.press("Shift+ArrowRight");
  assert.ok((await section(page))[0] > a);
  await page.keyboard.press("0");
  assert.deepEqual(await section(page), [from, until]);
  await page.keyboard.press("Home");
  await page.keyboard.press("ArrowRight");
  assert.match(await page.textContent("#cycle .live"), /Cursor at/);
});

withPage("the cursor in one chart shows the values of that time in all", async (page) => {
  const over = page.locator("#trends .u-over").first();
  await over.scrollIntoViewIfNeeded();
  const box = await over.boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + 30);
  await page.waitForFunction(() => [...document.querySelectorAll(".panel")].slice(0, 3)
    .every((panel) => [...panel.querySelectorAll("output")].some((o) => o.textContent !== "")));
});

withPage("a pen can be taken out of a chart by keyboard", async (page) => {
  const pen = page.locator(".pens button").first();
  await pen.focus();
  await page.keyboard.press("Enter");
  assert.equal(await pen.getAttribute("aria-pressed"), "false");
});

withPage("an event of the list leads to its time in the charts", async (page) => {
  await page.locator("#cycle details summary").click();
  await page.locator("#cycle button.time").nth(3).click();
  const [a, b] = await section(page);
  assert.ok(b - a <= 241);
});

for (const width of [360, 1024, 1920]) {
  withPage(`at ${width} px nothing is wider than the screen`, async (page) => {
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    assert.ok(wide <= 0, `${wide} px too wide`);
  }, {width});
}

test("raw data are what the manifest says", () => {
  const manifest = JSON.parse(readFileSync(join(pack, "manifest.json"), "utf8"));
  const paths = manifest.outputs.map((o) => o.path);
  for (const {name} of givenDocument().files) {
    // The inputs are a folder, of which the manifest names each file.
    assert.ok(paths.some((path) => path === name || path.startsWith(`${name}/`)), name);
  }
});
