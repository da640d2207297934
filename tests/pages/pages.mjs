// The HTML report in a real browser: it loads nothing, moves its map, keeps names text, prints to scale, and has no
// accessibility violation that axe-core knows of (WCAG 2.2 A and AA).
//
//     node pages.mjs WAYWARDEN
//
// Needs node, Debian's chromium and the npm packages playwright-core and axe-core, in tests/pages/node_modules or where
// WAYWARDEN_NODE_MODULES says. Ends in 77 where one is missing: not run, which is no success.
import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const here = dirname(fileURLToPath(import.meta.url)), project = resolve(here, "../..");
const program = resolve(process.argv[2]);

function skip(why) {
  console.log(`SKIPPED: ${why}`);
  process.exit(77);
}
const browserPath = ["/usr/bin/chromium", "/usr/bin/chromium-browser"].find(existsSync) ?? skip("there is no chromium");
let chromium, axe;
try {
  const require = createRequire(join(process.env.WAYWARDEN_NODE_MODULES ?? join(here, "node_modules"), "x.js"));
  ({ chromium } = require("playwright-core"));
  axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
} catch {
  skip("playwright-core and axe-core are not there (npm ci --prefix tests/pages)");
}

let wrong = 0;
function expect(what, holds, seen = "") {
  if (holds) return;
  wrong += 1;
  console.log(`WRONG: ${what} ${seen}`);
}

const folder = mkdtempSync(join(tmpdir(), "waywarden-pages-"));
const HOSTILE = `</title></style></script><script>window.bad=1</script><img src="http://example.invalid/x" onerror="window.bad=1">'"&`;
const escaped = text => text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;").replace(/"/g, "&quot;");

function check(route, out, more = []) {
  try {
    execFileSync(program, ["check", route, ...more, "--map", "fixtures/island.osm.pbf", "--region", "england", "--start", "2026-12-05", "--format",
      "html", "--fail-on", "never", "--out", join(folder, out)], { cwd: project, stdio: "pipe" });
  } catch (error) {
    if (error.status !== 3) throw error; // cannot vouch is a result too
  }
}

const browser = await chromium.launch({ executablePath: browserPath, args: ["--headless", "--no-sandbox", "--disable-gpu",
  "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"] });
const loaded = [], said = [];
async function open(file, options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options });
  const page = await context.newPage();
  page.on("request", request => { if (request.url() !== pathToFileURL(file).href.split("#")[0]) loaded.push(request.url()); });
  page.on("console", message => said.push(message.text()));
  page.on("pageerror", error => said.push(error.message));
  await page.goto(pathToFileURL(file).href);
  return page;
}
async function violations(page, where) {
  await page.evaluate(axe);
  const result = await page.evaluate(() => window.axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa",
    "best-practice"] }));
  for (const one of result.violations) expect(`axe ${where}`, false, `${one.id}: ${one.nodes[0].html.slice(0, 200)}`);
}
const viewOf = page => page.$eval("#r1-map", svg => svg.getAttribute("viewBox").split(" ").map(Number));

async function moves(file) {
  const page = await open(file);
  const before = await viewOf(page);
  for (const number of [2, 5]) {
    await page.click(`a[href="#r1-m${number}"]`);
    await page.waitForTimeout(300);
    const [x, y, w, h] = await viewOf(page);
    const at = await page.$eval(`#r1-m${number} g[transform]`, g => {
      const m = g.transform.baseVal.consolidate().matrix;
      return [m.e, m.f];
    });
    expect(`finding ${number} is followed to the middle of the map`, Math.hypot(x + w / 2 - at[0], y + h / 2 - at[1]) < 2 && w < before[2]);
  }
  await page.focus("#r1-map");
  await page.keyboard.press("0");
  await page.waitForTimeout(100);
  expect("0 shows the whole route", Math.abs((await viewOf(page))[2] - before[2]) < 1);
  await page.keyboard.press("+");
  await page.waitForTimeout(100);
  const closer = await viewOf(page);
  expect("+ comes closer", closer[2] < before[2] * 0.8);
  await page.keyboard.press("ArrowRight");
  await page.waitForTimeout(100);
  expect("an arrow moves to the east", (await viewOf(page))[0] > closer[0] + 1);
  await page.click('.knobs button[aria-label="farther"]');
  await page.waitForTimeout(100);
  expect("the button goes back", (await viewOf(page))[2] > closer[2] * 1.2);
  await page.keyboard.press("Escape");
  await page.focus("#r1-m2");
  await page.keyboard.press("Enter");
  expect("a sign leads to its finding", page.url().endsWith("#r1-f2"));
  await violations(page, "wide");
  await page.context().close();
}

async function accessible(file) {
  for (const [where, options] of Object.entries({ phone: { viewport: { width: 390, height: 844 } }, dark: { colorScheme: "dark" } })) {
    const page = await open(file, options);
    await violations(page, where);
    const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    expect(`${where}: nothing is wider than the page`, over <= 0, `${over} px`);
    await page.context().close();
  }
  const still = await open(file, { javaScriptEnabled: false });
  expect("without scripts the map is there", await still.locator("#r1-map").isVisible());
  expect("without scripts signs are links", (await still.locator('#r1-signs a[href^="#r1-f"]').count()) > 3);
  await still.context().close();
}

async function hostile() {
  const route = readFileSync(join(project, "fixtures/routes/team-day-1.gpx"), "utf8")
    .replace(/<name>[^<]*<\/name>/g, `<name>${escaped(HOSTILE)}</name>`);
  writeFileSync(join(folder, "hostile.gpx"), route);
  check(join(folder, "hostile.gpx"), "hostile");
  const page = await open(join(folder, "hostile/hostile.html"));
  expect("a hostile name runs nothing", await page.evaluate(() => window.bad === undefined));
  expect("a hostile name makes no element", (await page.locator("img").count()) === 0 && (await page.locator("script").count()) === 1);
  expect("a hostile name is shown as it is", (await page.locator("h1").textContent()) === HOSTILE);
  await page.context().close();
}

// The organiser's sheet: every place has its sign on the map, and what is not known is said.
async function sheetForMarshals() {
  execFileSync(program, ["check", "fixtures/routes/charity-loop.gpx", "--map", "fixtures/island.osm.pbf", "--region", "england",
    "--party", "charity-walk", "--start", "2027-05-15", "--for", "marshals", "--format", "html", "--fail-on", "never", "--out",
    join(folder, "marshals")], { cwd: project, stdio: "pipe" });
  const file = join(folder, "marshals/charity-loop.marshals.html");
  const page = await open(file);
  await violations(page, "marshals");
  const places = await page.locator("article.finding").count();
  expect("the sheet has places", places > 8, places);
  expect("each has its sign on the map", (await page.locator('#r1-signs a[href^="#r1-f"]').count()) === places);
  for (const empty of await page.locator("dd").evaluateAll(all => all.filter(one => !one.textContent.trim()).length ? ["dd"] : []))
    expect("no answer is empty", false, empty);
  expect("it says what marshals may not do", (await page.locator("main").textContent()).includes("no power to stop traffic"));
  await page.context().close();
  for (const [where, options] of Object.entries({ "marshals phone": { viewport: { width: 390, height: 844 } },
    "marshals dark": { colorScheme: "dark" } })) {
    const other = await open(file, options);
    await violations(other, where);
    const over = await other.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    expect(`${where}: nothing is wider than the page`, over <= 0, `${over} px`);
    await other.context().close();
  }
}

// The summary: the worst first, each a link to its page, sorted by pressing a heading.
async function summary() {
  execFileSync(program, ["check", "fixtures/routes", "--map", "fixtures/island.osm.pbf", "--region", "england", "--start", "2026-12-05",
    "--format", "html", "--fail-on", "never", "--out", join(folder, "several")], { cwd: project, stdio: "pipe" });
  const file = join(folder, "several/summary.html"), page = await open(file);
  await violations(page, "summary");
  const links = await page.locator("table.sortable tbody a").evaluateAll(all => all.map(one => one.getAttribute("href")));
  expect("each route is a link", links.length === 3, links);
  for (const link of links) expect("the link leads to a page", existsSync(join(folder, "several", decodeURIComponent(link))), link);
  const km = () => page.locator("table.sortable tbody tr td:last-child").evaluateAll(all => all.map(one => Number(one.textContent)));
  const before = await km();
  await page.click("table.sortable thead th:last-child button");
  expect("pressing a heading sorts downwards", JSON.stringify(await km()) === JSON.stringify([...before].sort((a, b) => b - a)));
  await page.click("table.sortable thead th:last-child button");
  expect("and upwards", JSON.stringify(await km()) === JSON.stringify([...before].sort((a, b) => a - b)));
  expect("and says so", (await page.getAttribute("table.sortable thead th:last-child", "aria-sort")) === "ascending");
  await page.context().close();
  const dark = await open(file, { colorScheme: "dark", viewport: { width: 390, height: 844 } });
  await violations(dark, "summary dark, phone");
  const over = await dark.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  expect("summary: nothing is wider than the page", over <= 0, `${over} px`);
  await dark.context().close();
}

// Contours of a made tile of heights (a cone about 300 m high in the middle of the island) are on the map, in its legend and
// on the sheets; the page stays light, and passes as the others do.
async function contours() {
  const CELLS = 1201, tile = Buffer.alloc(2 * CELLS * CELLS); // 3 arc seconds: USGS, SRTM Topo documentation
  for (let row = 0; row < CELLS; ++row)
    for (let column = 0; column < CELLS; ++column) {
      const east = (2 + column / (CELLS - 1) - 2.2) * 61900, north = (57 - row / (CELLS - 1) - 56.2) * 111300; // metres
      tile.writeInt16BE(Math.round(Math.max(0, 300 - 0.05 * Math.hypot(east, north))), 2 * (row * CELLS + column));
    }
  const heights = join(folder, "N56E002.hgt");
  writeFileSync(heights, tile);
  try {
    check("fixtures/routes/team-day-1.gpx", "heights", ["--elevation", heights]);
  } catch (error) {
    if (!String(error.stderr).includes("built without GDAL")) throw error;
    console.log("NOT LOOKED AT: contours (built without GDAL)");
    return;
  }
  const file = join(folder, "heights/team-day-1.html");
  expect("a page with contours is light", readFileSync(file).length < 1_500_000, readFileSync(file).length);
  for (const [where, options] of Object.entries({ wide: {}, phone: { viewport: { width: 390, height: 844 } },
    dark: { colorScheme: "dark" } })) {
    const page = await open(file, options);
    await violations(page, `contours ${where}`);
    expect("there are contours", (await page.locator("#r1-land .k-contour").count()) === 2);
    const [ground, line] = await page.evaluate(() => [".known", "#r1-land .k-contour.fifth"].map(one => {
      const style = getComputedStyle(document.querySelector(one));
      return one === ".known" ? style.fill : style.stroke;
    }));
    expect(`contours are seen on the ground, ${where}`, contrast(ground, line) > 3, `${line} on ${ground}`);
    const figures = await page.locator("#r1-names .n-contour").allTextContents();
    expect("every fifth has its figure", figures.length > 0 && figures.every(one => Number(one) % 25 === 0), figures);
    expect("the sheets tell the interval", /Contours every (5|10) m\./.test(await page.locator(".sheet .foot").first().textContent()));
    expect("the legend tells the interval", /height, every (5|10) m; thick: every (25|50) m/.test(await page.locator(".legend").textContent()));
    await page.context().close();
  }
}

// Of two colours "rgb(r, g, b)": WCAG 2.2, relative luminance and contrast ratio.
function contrast(...colours) {
  const [light, dark] = colours.map(one => {
    const [r, g, b] = one.match(/[\d.]+/g).map(Number).map(c => (c /= 255) <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b + 0.05;
  }).sort((a, b) => b - a);
  return light / dark;
}

// A walk round all of the island: too long for sheets at 1:25 000.
function roundTheIsland() {
  const corners = [[2.12, 56.168], [2.28, 56.168], [2.28, 56.232], [2.12, 56.232], [2.12, 56.17]];
  const points = corners.flatMap(([lon, lat], i) => i === 0 ? [[lon, lat]] : [1, 2, 3, 4, 5, 6, 7, 8].map(k =>
    [corners[i - 1][0] + (lon - corners[i - 1][0]) * k / 8, corners[i - 1][1] + (lat - corners[i - 1][1]) * k / 8]));
  const file = join(folder, "round.gpx");
  writeFileSync(file, `<gpx version="1.1" creator="pages" xmlns="http://www.topografix.com/GPX/1/1"><trk><name>Round</name><trkseg>${
    points.map(([lon, lat]) => `<trkpt lat="${lat}" lon="${lon}"/>`).join("")}</trkseg></trk></gpx>`);
  return file;
}

// The length of a path on a printed page, in mm: 1 km must be 40 mm at 1:25 000 and 20 mm at 1:50 000.
async function printed(file, wanted) {
  const page = await open(file);
  const pdf = join(folder, "page.pdf");
  await page.pdf({ path: pdf, preferCSSPageSize: true, printBackground: true });
  await page.context().close();
  let drawn;
  try {
    drawn = execFileSync("pdftocairo", ["-v"], { stdio: "pipe" });
  } catch {
    console.log("NOT MEASURED: pdftocairo (poppler-utils) is not there");
    return;
  }
  const pages = Number(/Pages:\s+(\d+)/.exec(execFileSync("pdfinfo", [pdf], { encoding: "utf8" }))[1]);
  const size = /Page size:\s+([\d.]+) x ([\d.]+)/.exec(execFileSync("pdfinfo", [pdf], { encoding: "utf8" }));
  expect("the paper is A4", Math.abs(size[1] - 595.3) < 1.5 && Math.abs(size[2] - 841.9) < 1.5, size[0]);
  const text = execFileSync("pdftotext", ["-f", String(pages), "-l", String(pages), "-layout", pdf, "-"], { encoding: "utf8" });
  const scale = Number(/1:(\d+) 000/.exec(text)?.[1]);
  expect("the sheet says its scale", scale === wanted, text.slice(0, 200));
  expect("the sheet says whose data it shows", /Map data: Ulverskay, an invented\s+island/.test(text.replace(/\s+/g, " ")), text.slice(-900));
  const DPI = 300, image = join(folder, "sheet");
  execFileSync("pdftoppm", ["-r", String(DPI), "-f", String(pages), "-l", String(pages), "-singlefile", pdf, image]);
  for (const [way, across] of [["east", true], ["north", false]]) {
    const lines = gridLines(readFileSync(`${image}.ppm`), across);
    const gaps = lines.slice(1).map((x, i) => (x - lines[i]) / DPI * 25.4);
    expect("grid lines are found", lines.length >= 3, lines);
    for (const gap of gaps) expect("1 km is to scale", Math.abs(gap - 1000 / scale) < 0.2, `${gap.toFixed(2)} mm at 1:${scale} 000`);
    console.log(`1:${scale} 000: km to the ${way} of ${gaps.map(g => g.toFixed(2)).join(", ")} mm`);
  }
}

// Columns (or rows) of the picture in which the colour of the grid stands in most rows (columns) of the map.
function gridLines(ppm, across) {
  const head = /^P6\s(\d+)\s(\d+)\s255\s/.exec(ppm.subarray(0, 64).toString("latin1"));
  const wide = Number(head[1]), high = Number(head[2]), from = head[0].length;
  const along = across ? wide : high, beside = across ? high : wide;
  const found = [];
  for (let x = 0; x < along; ++x) {
    let count = 0;
    for (let y = 0; y < beside; ++y) {
      const at = from + 3 * (across ? y * wide + x : x * wide + y), r = ppm[at], b = ppm[at + 2];
      if (b - r > 22 && r < 190) ++count;
    }
    found.push(count / beside);
  }
  const out = [];
  for (let x = 1; x < along - 1; ++x)
    if (found[x] > 0.3 && found[x] >= found[x - 1] && found[x] > found[x + 1]) out.push(x);
  return out;
}

try {
  check("fixtures/routes/team-day-1.gpx", "team");
  const file = join(folder, "team/team-day-1.html");
  await moves(file);
  await accessible(file);
  writeFileSync(join(folder, "all.html"), execFileSync(program, ["check", "fixtures/routes", "--map",
    "fixtures/island.osm.pbf", "--region", "england", "--start", "2026-12-05", "--format", "html", "--fail-on", "never"],
  { cwd: project, stdio: ["ignore", "pipe", "ignore"] }));
  const all = await open(join(folder, "all.html"));
  expect("every route has its map", (await all.locator("svg.map").count()) === 3);
  await violations(all, "several routes");
  await all.context().close();
  await hostile();
  await sheetForMarshals();
  await summary();
  await printed(file, 25);
  check(roundTheIsland(), "round");
  await printed(join(folder, "round/round.html"), 50);
  await contours();
  expect("no request leaves the page", loaded.length === 0, loaded);
  expect("the browser has nothing to complain of", said.length === 0, said);
} finally {
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
}
process.exit(wrong ? 1 : 0);
