// Documents with nothing in them, with a great deal, and with names that do not fit.
import assert from "node:assert/strict";
import {after, before, test} from "node:test";
import {openPack, opened, packWith} from "./browser.mjs";
import {absent, accepted, campaigned, empty, large, long, refuted} from "./documents.mjs";

let browser;
before(async () => { browser = await opened(); });
after(() => browser.close());

const withDocument = (name, change, work, options) => test(name, async () => {
  const other = packWith(change);
  const {page, troubles, close} = await openPack(browser, other.folder, options);
  try {
    await work(page);
    assert.deepEqual(troubles, []);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    assert.ok(wide <= 0, `${wide} px too wide`);
  } finally {
    await close();
    other.remove();
  }
});

withDocument("with no rows every table says so", empty, async (page) => {
  for (const table of await page.locator(".table tbody").allTextContents()) assert.notEqual(table.trim(), "");
});

withDocument("what was not done is said in its place", absent, async (page) => {
  assert.match(await page.textContent("#cycle"), /No cycle was run/);
  assert.match(await page.textContent("#scenarios"), /No scenarios were played/);
  assert.match(await page.textContent("#proofs"), /not proved/);
});

withDocument("10 000 rows can be searched and paged", large, async (page) => {
  const table = page.locator("#scenarios .table");
  const first = await table.locator("tbody tr").count();
  assert.ok(first <= 200);
  await table.locator("button.more").click();
  assert.ok(await table.locator("tbody tr").count() > first);
  await table.locator("input[type=search]").fill("number 9876");
  assert.equal(await table.locator("tbody tr").count(), 1);
  await table.locator("input[type=search]").fill("");
  await table.locator("select").first().selectOption("failed");
  assert.equal(await table.locator("tbody tr").count(), 10);
});

withDocument("failure modes and 10 000 injections can be narrowed down, and lead to their hazards", campaigned, async (page) => {
  const modes = page.locator("#failures .table").first();
  assert.equal(await modes.locator("tbody tr").count(), 4);
  const [wide, room] = await modes.locator("table").evaluate((e) => [e.scrollWidth, e.parentElement.clientWidth]);
  assert.ok(wide <= room, `the table, ${wide} px, has room in ${room} px`);
  await modes.locator("select").nth(1).selectOption("hazardous");
  assert.equal(await modes.locator("tbody tr").count(), 1);
  assert.match(await modes.locator("tbody tr").textContent(), /TE-1A\.open.*from a standard.*▲ hazardous.*1 hazardous\d+ noticed/);
  await modes.locator("select").nth(1).selectOption("");
  await modes.locator("input[type=search]").fill("q1.welded");
  assert.equal(await modes.locator("tbody tr").count(), 1);

  await page.locator("#failures details summary").click();
  const all = page.locator("#failures details .table");
  assert.ok(await all.locator("tbody tr").count() <= 200);
  await all.locator("select").first().selectOption("hazardous");
  assert.equal(await all.locator("tbody tr").count(), 1);
  await all.locator("tbody tr a[href^='#hazard']").click();
  const hazard = page.locator(await page.evaluate(() => location.hash));
  assert.match(await hazard.textContent(), /occurred.*single failures: TE-1A\.open.*not accepted/s);
  assert.equal(await hazard.locator("a[href^='#mode']").count(), 1);
  // Two failures are not for a machine file to accept, so the page does not say that it did.
  const paired = await page.locator("#hazards article").nth(1).textContent();
  assert.match(paired, /occurred only after two failures/);
});

for (const width of [360, 1024]) {
  withDocument(`long names break and cut nothing off at ${width} px`, long, async (page) => {
    assert.ok((await page.textContent("h1")).startsWith("Unwrappable"));
  }, {width});
}

withDocument("accepted hazards are on the first screen: how many, by whom, why", accepted, async (page) => {
  assert.match(await page.textContent(".verdict"), /HOLDS with 2 accepted hazards/);
  const words = page.locator(".words", {hasText: "Hazardous, and accepted"});
  assert.equal(await words.locator("li").count(), 2);
  assert.match(await words.textContent(), /by A\. Person, 2026-03-31.*seal\.torn.*seals are looked at/s);
  const bottom = await words.evaluate((e) => e.getBoundingClientRect().bottom);
  assert.ok(bottom <= 900, `ends at ${bottom} px of the first 900`);
});

withDocument("failures stand out on the first screen, by sign and word", refuted, async (page) => {
  assert.match(await page.textContent(".verdict"), /▲ FAILS: 1 finding/);
  assert.equal(await page.locator(".words.refuted.bad li").count(), 1);
  assert.equal(await page.locator("svg.timing").count(), 1);
});

withDocument("names that look like markup stay text", (d) => {
  d.machine.name = "</script><script>window.broken = true</script><b>bold</b>";
  d.machine.description = "<img src=x onerror='window.broken = true'>";
}, async (page) => {
  assert.equal(await page.evaluate(() => window.broken), undefined);
  assert.match(await page.textContent("h1"), /<b>bold<\/b>/);
});
