// A real headless Chromium without a network, and pages made from one pack.
import {createRequire} from "node:module";
import {mkdtempSync, readFileSync, rmSync, writeFileSync, cpSync, readdirSync} from "node:fs";
import {tmpdir} from "node:os";
import {join} from "node:path";
import {pathToFileURL} from "node:url";

const libraries = createRequire(join(process.env.EVIDENCE_LIBRARIES, "package.json"));
const {chromium} = libraries("playwright-core");
export const axeSource = readFileSync(libraries.resolve("axe-core/axe.min.js"), "utf8");

/** The pack under test. */
export const pack = process.env.EVIDENCE_PACK;

export const opened = () => chromium.launch({
  executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
  args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});

const element = /(<script type="application\/json" id="document">)([\s\S]*?)(<\/script>)/;

/** What the page of the pack shows. */
export const givenDocument = () => JSON.parse(element.exec(readFileSync(join(pack, "index.html"), "utf8"))[2]);

/**
 * A folder with the pack's files and a page that shows another document. The frame of the page is
 * that of the program.
 */
export function packWith(change) {
  const folder = mkdtempSync(join(tmpdir(), "evidence-page-"));
  for (const name of readdirSync(pack)) cpSync(join(pack, name), join(folder, name), {recursive: true});
  const document = givenDocument();
  change(document);
  const text = JSON.stringify(document).replaceAll("<", "\\u003c");
  const html = readFileSync(join(pack, "index.html"), "utf8").replace(element, (_, open, old, close) => open + text + close);
  writeFileSync(join(folder, "index.html"), html);
  return {folder, remove: () => rmSync(folder, {recursive: true, force: true})};
}

/**
 * Opens the page of a folder; `troubles` collects what must not happen. `whole`: what is out of sight is
 * laid out, too, as it is when one has scrolled to it, so that its sizes can be looked at.
 */
export async function openPack(browser, folder, {width = 1024, height = 900, scheme = "light", whole = true} = {}) {
  const context = await browser.newContext({viewport: {width, height}, colorScheme: scheme, offline: true});
  const page = await context.newPage();
  const troubles = [];
  page.on("console", (message) => { if (["error", "warning"].includes(message.type())) troubles.push(message.text()); });
  page.on("pageerror", (error) => troubles.push(String(error)));
  page.on("request", (request) => {
    if (!/^(file|data|blob):/.test(request.url())) troubles.push("asks the network for " + request.url());
  });
  await page.goto(pathToFileURL(join(folder, "index.html")).href);
  await page.waitForSelector("html[data-ready=true]");
  if (whole) await page.addStyleTag({content: "main > section { content-visibility: visible !important; }"});
  return {page, troubles, close: () => context.close()};
}
