// Makes the pictures of the README from a pack: node pictures.mjs FOLDER
import {mkdirSync} from "node:fs";
import {join} from "node:path";
import {openPack, opened, pack} from "./browser.mjs";

const folder = process.argv[2];
mkdirSync(folder, {recursive: true});
const browser = await opened();
try {
  const {page, troubles, close} = await openPack(browser, pack, {width: 1120, height: 860});
  await page.screenshot({path: join(folder, "summary.png")});
  await page.evaluate(() => document.querySelector("#trends").scrollIntoView());
  await page.locator("#trends").screenshot({path: join(folder, "trends.png")});
  const matrix = page.locator("table.matrix");
  await matrix.scrollIntoViewIfNeeded();
  const box = await matrix.boundingBox();
  await page.screenshot({path: join(folder, "matrix.png"), fullPage: true,
    clip: {x: box.x, y: box.y + await page.evaluate(() => scrollY), width: box.width, height: 620}});
  await close();
  if (troubles.length) throw new Error(troubles.join("\n"));
} finally {
  await browser.close();
}
