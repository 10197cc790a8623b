// On paper: A4 and Letter, light, everything open, nothing cut.
import assert from "node:assert/strict";
import {execFileSync} from "node:child_process";
import {mkdtempSync, rmSync} from "node:fs";
import {tmpdir} from "node:os";
import {join} from "node:path";
import {after, before, test} from "node:test";
import {givenDocument, openPack, opened, pack, packWith} from "./browser.mjs";
import {long} from "./documents.mjs";

let browser;
before(async () => { browser = await opened(); });
after(() => browser.close());

const margin_mm = 13;
const px = (mm) => Math.floor(mm / 25.4 * 96);

/** What stands out of the sheet's width when the page is laid out for print. */
async function tooWide(folder, width_mm) {
  const width = px(width_mm - 2 * margin_mm);
  const {page, close} = await openPack(browser, folder, {width, scheme: "dark"});
  try {
    await page.emulateMedia({media: "print"});
    await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
    return await page.evaluate((edge) => [...document.querySelectorAll("table, svg, canvas, p, pre, h1, h2, h3, code")]
      .filter((e) => e.getClientRects().length && e.getBoundingClientRect().right > edge + 1)
      .map((e) => `${e.tagName} ${e.className.baseVal ?? e.className} ${e.textContent.slice(0, 40)} ${e.getBoundingClientRect().right}`), width);
  } finally {
    await close();
  }
}

for (const [name, width] of [["A4", 210], ["Letter", 215.9]]) {
  test(`nothing is wider than ${name}`, async () => {
    assert.deepEqual(await tooWide(pack, width), []);
  });
}

test("long names do not push anything off the sheet", async () => {
  const other = packWith(long);
  try {
    assert.deepEqual(await tooWide(other.folder, 210), []);
  } finally {
    other.remove();
  }
});

/** Words of a PDF with their places, a list a page. */
function words(pdf) {
  const text = execFileSync("pdftotext", ["-bbox", pdf, "-"], {encoding: "utf8", maxBuffer: 1 << 28});
  return text.split(/<page /).slice(1).map((page) => {
    const [, width, height] = /width="([\d.]+)" height="([\d.]+)"/.exec(page);
    const all = [...page.matchAll(/xMin="(-?[\d.]+)" yMin="(-?[\d.]+)" xMax="(-?[\d.]+)" yMax="(-?[\d.]+)">([^<]*)</g)]
      .map(([, x0, y0, x1, y1, word]) => ({x0: +x0, y0: +y0, x1: +x1, y1: +y1, word}));
    return {width: +width, height: +height, all};
  });
}

for (const format of ["A4", "Letter"]) {
  test(`prints to ${format} with whole tables`, async () => {
    const folder = mkdtempSync(join(tmpdir(), "evidence-print-"));
    const {page, close} = await openPack(browser, pack, {scheme: "dark"});
    try {
      const pdf = join(folder, "page.pdf");
      await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
      await page.pdf({path: pdf, format, preferCSSPageSize: true, printBackground: true});
      const pages = words(pdf);
      const slack = 3; // pt
      const margin = margin_mm / 25.4 * 72 - slack;
      for (const [i, sheet] of pages.entries()) {
        for (const w of sheet.all) {
          assert.ok(w.x0 >= margin && w.x1 <= sheet.width - margin && w.y0 >= 0 && w.y1 <= sheet.height,
            `page ${i + 1}: "${w.word}" stands out of the margins`);
        }
      }
      // A browser that finds things too wide shrinks the whole sheet: the text would be smaller.
      const heading = pages[0].all.find((w) => w.word === givenDocument().machine.name.split(" ")[0]);
      assert.ok(heading.y1 - heading.y0 > 14, `heading is ${heading.y1 - heading.y0} pt high`);
      const everything = pages.flatMap((sheet) => sheet.all.map((w) => w.word)).join(" ");
      for (const row of givenDocument().matrix.rows) assert.ok(everything.replaceAll(" ", "").includes(row.text.replaceAll(" ", "")), row.text);
      // The head of the matrix stands on every page that the matrix takes.
      assert.ok(everything.replaceAll(" ", "").split("casesinwhichitcame").length > 2);
    } finally {
      await close();
      rmSync(folder, {recursive: true, force: true});
    }
  });
}
