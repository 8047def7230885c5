// Makes the pictures of docs/guide.md: the pages in a real browser, over the night that the guide follows.
//
//   HALFARC=build/release/halfarc HALFARC_WEB=build/release/web-work/web node tools/screenshots.mjs NIGHT [docs/pictures]
//
// NIGHT is what `halfarc rehearse -o NIGHT --short` left. The pages show that evening: their clock is set to it.
import assert from "node:assert/strict";
import { copyFile, mkdir, readFile, readdir, rename, stat, utimes, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { open_browser, open_window, run, scratch, serve } from "../tests/page/bench.mjs";

const [night, output = "docs/pictures"] = process.argv.slice(2);
assert.ok(night, "usage: node tools/screenshots.mjs NIGHT [FOLDER]");
const largest = 120_000; // bytes of a picture: a clone should stay small
const evening = "2027-02-14";
const laptop = { width: 900, height: 1000, light: "desk" };
const tablet = { width: 520, height: 800, light: "desk" };
const phone = { width: 390, height: 760, light: "red" };

const place = await scratch();
const home = { HALFARC_HOME: place.home };
await mkdir(place.clips, { recursive: true });
await mkdir(output, { recursive: true });
await run(["init", "--site", "57.1N,2.1W,12", "--name", "Kelderhaven"], home);
const rig = join(place.home, "rig.toml");
const whole_train = await readFile(rig, "utf8");
// As the telescope stands when it is collimated: nothing between it and the camera.
const bare_train = whole_train.replace(/\[\[part\]\]\nkind = "(amplifier|corrector)"[^[]*/g, "");

const names = await readdir(night);
const named = (start) => names.find((name) => name.startsWith(start) && name.endsWith(".fits") && !name.includes("image"));
const browser = await open_browser();
const server = await serve(place);

// Puts a clip into the watched folder as a camera program closes it, at the time its name says.
async function record(start) {
  const name = named(start);
  const arriving = join(place.clips, name + ".part");
  await copyFile(join(night, name), arriving);
  const [, h, m, s] = /-(..)(..)(..)-/.exec(name);
  const closed = new Date(`${evening}T${h}:${m}:${s}Z`).getTime() / 1000 + 8;
  await utimes(arriving, closed, closed);
  await rename(arriving, join(place.clips, name));
  for (let look = 0; look < 120; look++) {
    const { recordings } = await (await fetch(server.address + "api/recordings")).json();
    if (recordings.some((one) => one.name === name && one.words)) return;
    await new Promise((resolve) => setTimeout(resolve, 250));
  }
  throw new Error(`${name} was not read`);
}

async function post(path, body) {
  const answer = await fetch(server.address + path, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  });
  if (!answer.ok) throw new Error(`${path}: ${await answer.text()}`);
}

// One page as it stands when nothing is waited for any more, at a moment of that evening.
async function picture(name, address, window, clock, look = async () => {}) {
  const { context, page, faults } = await open_window(browser, window);
  await page.clock.setFixedTime(`${evening}T${clock}Z`);
  await page.route("**/api/tonight*", (route) => {
    const asked = new URL(route.request().url());
    asked.searchParams.set("date", evening);
    return route.continue({ url: asked.href });
  });
  await page.goto(server.address + address);
  await page.locator("main h1, main article").first().waitFor();
  await page.waitForLoadState("networkidle").catch(() => {}); // the stream of events never rests
  await page.waitForTimeout(1500);
  await look(page);
  const file = join(output, name + ".png");
  await page.screenshot({ path: file });
  await context.close();
  assert.deepEqual(faults, [], name);
  const { size } = await stat(file);
  assert.ok(size <= largest, `${file} has ${size} bytes`);
  console.log(`${file}: ${size} bytes`);
}

try {
  await picture("tonight", "#tonight", laptop, "17:30:00", async (page) => {
    await page.getByRole("button", { name: "Jupiter" }).click();
    await page.waitForTimeout(500);
  });
  await picture("rig", "#rig", laptop, "17:40:00");

  await writeFile(rig, bare_train);
  await record("03-");
  await picture("collimate", "#telescope/collimate", phone, "20:26:00");
  await writeFile(rig, whole_train);
  await record("13-");
  await record("15-");
  await picture("disperse", "#telescope/disperse", phone, "21:13:00");

  await record("28-");
  const { recordings } = await (await fetch(server.address + "api/recordings")).json();
  const giant = recordings.find(({ name }) => name === named("28-"));
  await post("api/make", { runs: [giant.id], target: "jupiter", north_deg: 76, name: "jupiter" });
  let images = [];
  for (let look = 0; look < 240 && images.length === 0; look++) {
    await new Promise((resolve) => setTimeout(resolve, 250));
    ({ images } = await (await fetch(server.address + "api/images")).json());
  }
  await picture("image", `#image/${images[0].id}`, tablet, "22:40:00");
} finally {
  await browser.close();
  await server.stop();
  await place.remove();
}
