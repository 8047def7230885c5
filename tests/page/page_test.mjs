// One evening in a real browser against the real binary: first start, plan, a clip that arrives, a turn, an image, the
// server lost and found again, a phone that pairs; then every page in both lights and sizes.
import assert from "node:assert/strict";
import { copyFile, mkdir, readFile, rename, writeFile } from "node:fs/promises";
import { networkInterfaces } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { open_browser, open_window, run, scratch, serve } from "./bench.mjs";
import { look_at } from "./looks.mjs";

const scenes = new URL("../../examples/scenes/", import.meta.url).pathname;
const phone = { width: 390, height: 844 };
const laptop = { width: 1440, height: 900 };
const place = await scratch();
await mkdir(place.clips, { recursive: true });
let server = await serve(place);
const browser = await open_browser();
const desk = await open_window(browser, { ...laptop, light: "desk" });
const { page } = desk;
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

for (const light of ["red", "desk"]) {
  test(`before anything is known, pages are as easy on the eye in ${light} light`, async () => {
    const window = await open_window(browser, { ...phone, light });
    await window.page.goto(server.address);
    await window.page.getByText("Two answers and the night can begin").first().waitFor();
    assert.deepEqual(await look_at(window, light), [], "first start");
    for (const name of ["recordings", "image", "logbook", "telescope/collimate"]) {
      await window.page.goto(server.address + "#" + name);
      await window.page.locator("main h1, main article").first().waitFor();
      await settled(window.page);
      assert.deepEqual(await look_at(window, light), [], `empty ${name}`);
    }
    await window.context.close();
  });
}

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

test("the horizon is drawn, undone by strokes, drawn with keys, and kept", async () => {
  await page.goto(server.address + "#rig/horizon");
  const sky = page.getByRole("application");
  await sky.waitFor();
  const { x, y, width } = await sky.boundingBox();
  const stroke = async (from, to, high) => {
    await page.mouse.move(x + from * width, y + high);
    await page.mouse.down();
    await page.mouse.move(x + to * width, y + high, { steps: 20 });
    await page.mouse.up();
  };
  const outline = () => sky.locator("path.line").getAttribute("d");
  const flat = await outline();
  await stroke(0.2, 0.4, 150);
  const once = await outline();
  await stroke(0.6, 0.8, 100);
  assert.notEqual(await outline(), once);
  await page.getByRole("button", { name: "Undo" }).click();
  assert.equal(await outline(), once);
  await page.getByRole("button", { name: "Undo" }).click();
  assert.equal(await outline(), flat);
  await page.getByRole("button", { name: "Tree" }).click();
  await sky.focus();
  for (const key of ["ArrowRight", "ArrowRight", "PageUp", "PageUp", "ArrowUp"]) await page.keyboard.press(key);
  await said("At 190°: tree, 11° high");
  for (let i = 0; i < 8; i++) await page.keyboard.press("ArrowRight");
  await said("At 230°: nothing"); // beyond the quarter that one faced
  await page.getByRole("button", { name: "Keep" }).click();
  await said("Kept.");
  assert.match(await readFile(join(place.home, "horizon.csv"), "utf8"), /^190,11\.0,tree,no$/m);
});

test("tonight shows the hours and what to do", async () => {
  await page.goto(server.address + "#tonight");
  await page.getByRole("img", { name: /Hours of the night/ }).waitFor();
  await said("Do this");
});

test("a clip that is closed is read, and what the hand did is noted", async () => {
  await page.goto(server.address + "#telescope/collimate");
  await said("Collimate");
  await record("star-out-of-focus.toml", "star");
  await page.getByText(/^star.*: read\.$/).waitFor({ timeout: 20_000 });
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
  await page.getByRole("button", { name: /trust/i }).first().click();
  await settled(page);
  assert.deepEqual(await look_at(desk, "desk"), [], "trust map");
});

test("the logbook can be taken along: whole, and a night as a page to print", async () => {
  const taken = async (name) => {
    const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name }).click()]);
    return readFile(await download.path(), "utf8");
  };
  await page.goto(server.address + "#logbook");
  assert.match(await taken("Export as CSV"), /^[a-z_]+,/);
  assert.equal(JSON.parse(await taken("Export as JSON")).schema, "halfarc.log/1");
  await page.locator("ul.list button").first().click();
  assert.match(await taken("Report to print"), /^<!doctype html>/i);
  assert.match(await taken("As text"), /^\S/);
  assert.deepEqual(await look_at(desk, "desk"), [], "a night");
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
        assert.deepEqual(await look_at(window, light), [], name);
      }
      assert.deepEqual(window.faults, []);
      await window.context.close();
    });
  }
}

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
  assert.deepEqual(await look_at(second, "red"), [], "pairing");
  await second.page.getByLabel("Code").fill("000000");
  await second.page.getByRole("button", { name: "Join" }).click();
  await second.page.getByRole("alert").waitFor();
  assert.deepEqual(await look_at(second, "red"), [], "a wrong code");
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
