// One evening in a real browser against the real binary: first start, plan, a clip that arrives, a turn, an image, the
// server lost and found again, a phone that pairs; then every page in both lights and sizes.
import assert from "node:assert/strict";
import { copyFile, mkdir, readFile, rename, writeFile } from "node:fs/promises";
import { availableParallelism, loadavg, networkInterfaces } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { open_browser, open_window, packages, run, scratch, serve } from "./bench.mjs";
import { axe_faults, coloured_pixels, thumb_faults } from "./looks.mjs";

const scenes = new URL("../../examples/scenes/", import.meta.url).pathname;
const phone = { width: 390, height: 844 };
const laptop = { width: 1440, height: 900 };
const place = await scratch();
await mkdir(place.clips, { recursive: true });
let server = await serve(place);
const browser = await open_browser();
const desk = await open_window(browser, { ...laptop, light: "desk" });
const { page } = desk;
// The bars of time hold on a machine of one's own; where others wait for the same cores, they grow with the queue.
const bar = (ms) => ms * Math.max(1, loadavg()[0] / availableParallelism());
const said = (words) => page.getByText(words).first().waitFor({ timeout: 20_000 });

// Nothing is waited for any more. A wait is told of after a quarter of a second, so that long is looked twice.
async function settled(page) {
  for (let look = 0; look < 2; look++) {
    await page.waitForTimeout(300);
    await page.waitForFunction(
      () =>
        [...document.images].every(({ complete }) => complete) &&
        [...document.querySelectorAll("[role=status]")].every(({ textContent }) => !textContent.endsWith("…")),
    );
  }
}

// A clip of an example's scene, put into the watched folder as a camera program closes it.
async function record(scene, name, changes = (text) => text) {
  const shot = join(place.folder, name + ".toml");
  await writeFile(shot, changes(await readFile(join(scenes, scene), "utf8")));
  const made = join(place.folder, name + ".fits");
  await run(["simulate", shot, "-o", made, "-q"]);
  const arriving = join(place.clips, name + ".part");
  await copyFile(made, arriving);
  await rename(arriving, join(place.clips, name + ".fits"));
}

test.after(async () => {
  await browser.close();
  await server.stop();
  await place.remove();
});

test("first start asks for a telescope and a place, and writes them", async () => {
  await page.goto(server.address);
  await said("Two answers and the night can begin");
  await page.getByLabel("Latitude").fill("57.1");
  await page.getByLabel("Longitude").fill("-2.1");
  await page.getByLabel("Name of the place").fill("Kelderhaven");
  await page.getByRole("button", { name: "Begin" }).click();
  await said("mm from port to sensor");
  assert.match(await readFile(join(place.home, "site.toml"), "utf8"), /latitude_deg = 57\.1/);
});

test("the rig says what a spacer does before it is kept", async () => {
  await page.getByRole("button", { name: "Put a part in" }).click();
  await page.getByRole("button", { name: "See what it does" }).click();
  await said(/turn the knob/i);
  await page.getByRole("button", { name: "Keep this train" }).click();
  await page.getByText(/turn the knob/i).waitFor({ state: "detached" });
  assert.match(await readFile(join(place.home, "rig.toml"), "utf8"), /name = "new spacer"/);
});

test("a value that the program refuses is told in its words", async () => {
  await page.goto(server.address + "#rig/site");
  await page.getByLabel("Latitude").fill("91");
  await page.getByRole("button", { name: "Keep" }).click();
  await page.getByRole("alert").first().waitFor();
  assert.match(await page.getByRole("alert").first().innerText(), /latitude/i);
});

test("tonight shows the hours and what to do", async () => {
  await page.goto(server.address + "#tonight");
  await page.getByRole("img", { name: /Hours of the night/ }).waitFor();
  await said("Do this");
});

test("a clip that is closed is read within two seconds, and what the hand did is noted", async () => {
  await page.goto(server.address + "#telescope/collimate");
  await said("Collimate");
  await record("star-out-of-focus.toml", "star");
  const closed = Date.now();
  await page.getByText(/^star.*: read\.$/).waitFor({ timeout: 20_000 });
  const took = Date.now() - closed;
  console.log(`clip closed to card: ${took} ms`);
  assert.ok(took <= bar(2000), `took ${took} ms`);
  const turned = await page.evaluate(async () => {
    const answer = await fetch("/api/turned", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ control: "screw-a", amount: "1/16 cw" }),
    });
    return answer.json();
  });
  assert.equal(turned.ok, true);
  await page.goto(server.address + "#logbook");
  await page.getByRole("button", { name: /1 recording, 1 turn/ }).waitFor();
});

test("a run becomes an image with its proof, and can be taken along", async () => {
  await record("ruddy-disc.toml", "run", (text) => text.replace(/^frames = .*/m, "frames = 300"));
  await page.goto(server.address + "#image");
  await page.getByRole("button", { name: /^run\.fits/ }).click({ timeout: 20_000 });
  await page.getByRole("button", { name: "Make the image" }).click();
  await page.getByRole("button", { name: "See the image" }).click({ timeout: 60_000 });
  await said(/Real down to/);
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: /PNG/ }).click()]);
  const bytes = await readFile(await download.path());
  assert.equal(bytes.subarray(1, 4).toString(), "PNG");
});

test("eight tabs of one browser hear what happens, and go on when the one that listens is closed", async () => {
  const { context, page: first } = await open_window(browser, { ...laptop, light: "desk" });
  const tabs = [first];
  while (tabs.length < 8) tabs.push(await context.newPage()); // a browser has six connections to a server
  for (const tab of tabs) {
    await tab.goto(server.address + "#logbook");
    await tab.getByRole("heading", { name: "Logbook" }).waitFor();
  }
  const note = (text) =>
    tabs
      .at(-1)
      .evaluate(
        (body) => fetch("/api/notes", { method: "POST", headers: { "Content-Type": "application/json" }, body }),
        JSON.stringify({ text }),
      );
  const counts = (words, among) => Promise.all(among.map((tab) => tab.getByText(words).first().waitFor({ timeout: 20_000 })));
  await note("one");
  await counts(/1 note$/, tabs);
  await first.close();
  await note("two");
  await counts(/2 notes$/, tabs.slice(1));
  await context.close();
});

test("names and notes are shown as written, never run", async () => {
  const nasty = `<img src=x onerror="document.title='bad'">`;
  await page.goto(server.address + "#logbook");
  await page.getByLabel("Note for tonight").fill(nasty);
  await page.getByRole("button", { name: "Note it" }).click();
  await said("Noted.");
  // Tonight's; a clip read before may be of a night that is yet to come.
  await page.locator("ul.list button").filter({ hasText: /\d note/ }).first().click();
  await said(nasty);
  assert.notEqual(await page.title(), "bad");
});

for (const [size_name, size] of Object.entries({ phone, laptop })) {
  for (const light of ["red", "desk"]) {
    test(`every page on the ${size_name} in ${light} light`, async () => {
      const axe = await readFile(packages.resolve("axe-core/axe.min.js"), "utf8");
      const window = await open_window(browser, { ...size, light });
      const { recordings } = await (await fetch(server.address + "api/recordings")).json();
      const { images } = await (await fetch(server.address + "api/images")).json();
      const steps = ["cool", "collimate", "train", "find", "disperse", "focus", "expose", "record"];
      const pages = ["tonight", "rig", "rig/site", "rig/horizon", "rig/file", "recordings", "image", "logbook"];
      pages.push(`recordings/${recordings[0].id}`, `image/${images[0].id}`, ...steps.map((step) => "telescope/" + step));
      for (const name of pages) {
        await window.page.goto(server.address + "#" + name);
        await window.page.locator("main h1, main article").first().waitFor();
        await settled(window.page);
        assert.deepEqual(await axe_faults(window.page, axe), [], `${name}: axe`);
        assert.deepEqual(await thumb_faults(window.page), [], `${name}: thumb`);
        if (light === "red") {
          const { coloured, lit } = await coloured_pixels(window.context, await window.page.screenshot({ fullPage: true }));
          assert.equal(coloured, 0, `${name}: pixels with green or blue`);
          assert.ok(lit > 0, `${name}: nothing is shown`);
        }
      }
      assert.deepEqual(window.faults, []);
      await window.context.close();
    });
  }
}

test("the first paint of a page takes half a second at most", async () => {
  const times = [];
  for (let round = 0; round < 5; round++) {
    const window = await open_window(browser, { ...phone, light: "red" });
    await window.page.goto(server.address + "#telescope");
    await window.page.locator("main h1").waitFor();
    times.push(
      await window.page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? Infinity),
    );
    await window.context.close();
  }
  const least = Math.min(...times); // others may use the machine meanwhile
  console.log(`first paint: ${Math.round(least)} ms`);
  assert.ok(least <= bar(500), `first paint after ${times.map(Math.round).join(", ")} ms`);
});

test("a server that was killed is joined again", async () => {
  await page.goto(server.address + "#recordings");
  await said("star.fits");
  const { port } = server;
  await server.kill();
  await said("This page joins it again");
  server = await serve(place, { port });
  await page.getByText("This page joins it again").waitFor({ state: "detached", timeout: 20_000 });
  await record("star-out-of-focus.toml", "later");
  await said("later.fits");
});

test("a phone pairs by the code of the terminal", async (t) => {
  const outside = Object.values(networkInterfaces())
    .flat()
    .some((one) => one && one.family === "IPv4" && !one.internal);
  if (!outside) return t.skip("this machine has no network of its own");
  const { port } = server;
  await server.stop();
  server = await serve(place, { port, lan: true });
  const address = server.addresses.find((one) => !one.includes("127.0.0.1"));
  const code = /enter the code (.+)/.exec(server.said)?.[1]?.replace(/\s/g, "");
  assert.ok(address && code, server.said);
  const second = await open_window(browser, { ...phone, light: "red" });
  await second.page.goto(address);
  await second.page.getByText("Join this phone to the laptop").waitFor();
  await second.page.getByLabel("Code").fill("000000");
  await second.page.getByRole("button", { name: "Join" }).click();
  await second.page.getByRole("alert").waitFor();
  await second.page.goto(`${address}#pair=${code}`);
  await second.page.reload();
  await second.page.getByRole("heading", { name: "Tonight" }).waitFor();
  // The server is killed and started anew: the phone comes back by itself, without a code.
  await server.kill();
  await second.page.getByText("This page joins it again").waitFor({ timeout: 20_000 });
  server = await serve(place, { port, lan: true });
  await second.page.getByText("This page joins it again").waitFor({ state: "detached", timeout: 20_000 });
  await second.page.reload();
  await second.page.getByRole("heading", { name: "Tonight" }).waitFor();
  await second.context.close();
});

test("no script failed in the whole evening", () => assert.deepEqual(desk.faults, []));
