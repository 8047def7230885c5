// The pages as their owner waits for them: the first paint of each, from a clip's closing to its advice on the screen,
// and what the browser fetches. Figures for a quiet machine; they decide nothing.
//
//   node bench/pages.mjs   (after a build; HALFARC and HALFARC_WEB as for the page tests)
import { copyFile, mkdir, readFile, rename, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { brotliCompressSync } from "node:zlib";
import { open_browser, open_window, run, scratch, serve } from "../tests/page/bench.mjs";

const scenes = new URL("../examples/scenes/", import.meta.url).pathname;
const phone = { width: 390, height: 844, light: "red" };
const place = await scratch();
await mkdir(place.clips, { recursive: true });
await run(["init"], { HALFARC_HOME: place.home });
const server = await serve(place);
const browser = await open_browser();

const median = (values) => values.sort((a, b) => a - b)[Math.floor(values.length / 2)];
const tell = (what, value, unit, bar) => console.log(`${what.padEnd(44)} ${value} ${unit}  ${(value / bar).toFixed(2)} of the bar of ${bar} ${unit}`);

async function first_paint(name) {
  const times = [];
  for (let round = 0; round < 5; round++) {
    const { context, page } = await open_window(browser, phone);
    await page.goto(server.address + "#" + name);
    await page.locator("main h1, main article").first().waitFor();
    times.push(await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? Infinity));
    await context.close();
  }
  return Math.round(median(times));
}

async function clip_to_advice(round) {
  const shot = join(place.folder, `clip-${round}.toml`);
  const scene = await readFile(join(scenes, "star-out-of-focus.toml"), "utf8");
  await writeFile(shot, scene.replace(/^seed = .*/m, `seed = ${100 + round}`));
  const made = join(place.folder, `clip-${round}.fits`);
  await run(["simulate", shot, "-o", made, "-q"]);
  const { context, page } = await open_window(browser, phone);
  await page.goto(server.address + "#telescope/collimate");
  await page.locator("main h1, main article").first().waitFor();
  const arriving = join(place.clips, `clip-${round}.part`);
  await copyFile(made, arriving);
  await rename(arriving, join(place.clips, `clip-${round}.fits`));
  const closed = Date.now();
  await page.getByText(new RegExp(`^clip-${round}.*: read\\.$`)).waitFor({ timeout: 60_000 });
  const took = Date.now() - closed;
  await context.close();
  return took;
}

async function fetched() {
  const { context, page } = await open_window(browser, phone);
  const bodies = [];
  page.on("response", (answer) => {
    if (/\.(js|css|html)$|\/$/.test(new URL(answer.url()).pathname)) bodies.push(answer.body().catch(() => Buffer.alloc(0)));
  });
  await page.goto(server.address);
  await page.locator("main h1, main article").first().waitFor();
  const sizes = (await Promise.all(bodies)).map((body) => brotliCompressSync(body).length);
  await context.close();
  return sizes.reduce((sum, size) => sum + size, 0);
}

try {
  const pages = ["tonight", "telescope/collimate", "rig", "recordings", "image", "logbook"];
  for (const name of pages) tell(`first paint of ${name}`, await first_paint(name), "ms", 500);
  const waits = [];
  for (let round = 0; round < 5; round++) waits.push(await clip_to_advice(round));
  tell("clip closed to advice on the screen, median of 5", Math.round(median(waits)), "ms", 2000);
  tell("page and script, compressed", Math.round((await fetched()) / 102.4) / 10, "KiB", 150);
} finally {
  await browser.close();
  await server.stop();
  await place.remove();
}
