// WCAG 2.2 A and AA, as far as a tool can tell, in light and in dark, at three widths.
import assert from "node:assert/strict";
import {after, before, test} from "node:test";
import {axeSource, openPack, opened, pack, packWith} from "./browser.mjs";
import {long, refuted} from "./documents.mjs";

let browser;
before(async () => { browser = await opened(); });
after(() => browser.close());

async function violations(folder, options) {
  const {page, troubles, close} = await openPack(browser, folder, options);
  try {
    await page.$$eval("details", (all) => all.forEach((one) => { one.open = true; }));
    await page.addScriptTag({content: axeSource}).catch(() => {});
    if (!await page.evaluate(() => "axe" in window)) await page.evaluate(axeSource);
    const result = await page.evaluate(() => axe.run(document, {
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
      resultTypes: ["violations"],
    }));
    return result.violations.map((v) => `${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(" | ")}`);
  } finally {
    troubles.length = 0;
    await close();
  }
}

for (const [scheme, width] of [["light", 360], ["dark", 1280]]) {
  test(`accessible in ${scheme} at ${width} px`, async () => {
    assert.deepEqual(await violations(pack, {scheme, width}), []);
  });
  test(`accessible in ${scheme} with failures, refutations and long names`, async () => {
    const other = packWith((d) => { refuted(d); long(d); });
    try {
      assert.deepEqual(await violations(other.folder, {scheme, width: 1640 - width}), []);
    } finally {
      other.remove();
    }
  });
}

test("the checker notices a page that is not accessible", async () => {
  const {page, close} = await openPack(browser, pack);
  try {
    await page.evaluate(axeSource);
    const found = await page.evaluate(() => {
      document.querySelector("#main").append(Object.assign(document.createElement("img"), {src: "data:,"}));
      return axe.run(document).then((r) => r.violations.map((v) => v.id));
    });
    assert.ok(found.includes("image-alt"));
  } finally {
    await close();
  }
});
