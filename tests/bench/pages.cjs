// Opens pages in Chromium: faults by axe, width against the screen, sheets of A4, and pictures when asked.
// node pages.cjs PAGE.html [PICTURE.png]; needs the npm packages playwright-core and axe-core on NODE_PATH.
const { chromium } = require("playwright-core");
const { pathToFileURL } = require("node:url");

const [page, picture] = process.argv.slice(2);
const ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"];

async function looked(browser, width, colorScheme) {
  const context = await browser.newContext({
    bypassCSP: true, colorScheme, viewport: { width, height: width < 600 ? 780 : 900 },
  });
  const sheet = await context.newPage();
  await sheet.goto(pathToFileURL(page).href);
  if (picture && width === 1400 && colorScheme === "light") {
    await sheet.screenshot({ path: picture, clip: { x: 165, y: 20, width: 1070, height: 760 } });
  }
  await sheet.addScriptTag({ path: require.resolve("axe-core/axe.min.js") });
  const faults = await sheet.evaluate(async () => (await axe.run()).violations.map((one) => one.id));
  const wide = await sheet.evaluate(() => document.documentElement.scrollWidth);
  let sheets = 0;
  if (width === 800 && colorScheme === "light") {
    const printed = (await sheet.pdf({ format: "A4" })).toString("latin1");
    sheets = (printed.match(/\/Type\s*\/Page[^s]/g) || []).length;
  }
  await context.close();
  return { width, colorScheme, faults, overflows: wide > width, sheets };
}

(async () => {
  const executablePath = process.env.CHROMIUM || "/usr/bin/chromium";
  const browser = await chromium.launch({ executablePath, args: ARGUMENTS });
  for (const colour of ["light", "dark"]) {
    for (const width of [360, 800, 1400]) console.log(JSON.stringify(await looked(browser, width, colour)));
  }
  await browser.close();
})();
