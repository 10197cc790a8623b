// WCAG 2.2 A and AA, as far as a tool can tell, in light and in dark, at three widths.
import assert from "node:assert/strict";
import {after, before, test} from "node:test";
import {axeSource, openPack, opened, pack, packWith} from "./browser.mjs";
import {campaigned, long, refuted, trimmed} from "./documents.mjs";

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
  const accessible = (name, at, change) => test(name, async () => {
    const other = packWith((d) => { trimmed(d); change(d); });
    try {
      assert.deepEqual(await violations(other.folder, {scheme, width: at}), []);
    } finally {
      other.remove();
    }
  });
  accessible(`accessible in ${scheme} at ${width} px`, width, () => {});
  accessible(`accessible in ${scheme} with failures, counterexamples and long names`, 1640 - width, (d) => { refuted(d); long(d); campaigned(d, 30); });
}

test("the checker notices a page that is not accessible", async () => {
  const {page, close} = await openPack(browser, pack);
  try {
    await page.evaluate(axeSource);
    const found = await page.evaluate(() => {
      const picture = Object.assign(document.createElement("img"), {src: "data:,"});
      document.querySelector("#main").append(picture);
      return axe.run(picture).then((r) => r.violations.map((v) => v.id));
    });
    assert.ok(found.includes("image-alt"));
  } finally {
    await close();
  }
});
