// Makes the pictures of the README from a pack: node pictures.mjs FOLDER
import {mkdirSync} from "node:fs";
import {join} from "node:path";
import {openPack, opened, pack} from "./browser.mjs";

const folder = process.argv[2];
mkdirSync(folder, {recursive: true});
const browser = await opened();

/** The part of the page that an element takes, at most `most` px of its height. */
async function picture(page, selector, name, most = Infinity) {
  const clip = await page.$eval(selector, (e) => {
    const box = e.getBoundingClientRect();
    return {x: box.x + scrollX, y: box.y + scrollY, width: box.width, height: box.height};
  });
  await page.screenshot({path: join(folder, name), fullPage: true, clip: {...clip, height: Math.min(clip.height, most)}});
}

try {
  for (const scheme of ["light", "dark"]) {
    const {page, troubles, close} = await openPack(browser, pack, {width: 1120, height: 860, scheme});
    if (scheme === "light") {
      await page.screenshot({path: join(folder, "summary.png")});
      await picture(page, "table.matrix", "matrix.png", 620);
    } else {
      await picture(page, "#trends", "trends.png", 735);
    }
    await close();
    if (troubles.length) throw new Error(troubles.join("\n"));
  }
} finally {
  await browser.close();
}
