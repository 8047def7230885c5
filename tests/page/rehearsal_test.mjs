// The closed loop in a real browser against the real binary: first start goes straight into a rehearsal, its clip brings
// advice, one tap says that it was followed, and the next clip is better.
import assert from "node:assert/strict";
import { mkdir } from "node:fs/promises";
import { test } from "node:test";
import { open_browser, open_window, scratch, serve } from "./bench.mjs";
import { look_at } from "./looks.mjs";

const place = await scratch();
await mkdir(place.clips, { recursive: true });
const server = await serve(place);
const browser = await open_browser();
const { context, page, faults } = await open_window(browser, {
  width: 390,
  height: 844,
  light: "red",
});

test.after(async () => {
  await browser.close();
  await server.stop();
  await place.remove();
});

const get = async (path) => (await fetch(server.address + path)).json();
const collimate = async () => (await get("api/step")).steps.find(({ step }) => step === "collimate");

// The collimation card as it stands once a clip after `utc` has been read.
async function card_after(utc) {
  for (let look = 0; look < 240; look++) {
    const card = await collimate();
    if (card.last && card.last.utc > utc) return card;
    await page.waitForTimeout(250);
  }
  throw new Error("no clip came");
}

test("first start leads straight into the rehearsal, and its first clip brings advice", async () => {
  await page.goto(server.address);
  await page.getByRole("button", { name: "Start the rehearsal" }).click();
  await page.getByRole("button", { name: "I turned it" }).waitFor({ timeout: 60_000 });
  assert.deepEqual(await look_at({ context, page }, "red"), []);
});

test("advice followed with one tap makes the next clip better", async () => {
  let before = await card_after("");
  for (let clip = 0; clip < 8; clip++) {
    const turns = before.advice.filter(({ turn }) => turn !== 0);
    assert.ok(turns.length > 0, `left alone without one turn that helped: ${JSON.stringify(before.last)}`);
    for (const { control } of turns) {
      await page.getByRole("button", { name: "I turned it" }).click();
      await page.waitForFunction(
        (name) => JSON.parse(localStorage.getItem("halfarc.turned") ?? "{}").controls?.includes(name),
        control,
      );
    }
    await page.getByText("Now the next clip").waitFor();
    const after = await card_after(before.last.utc);
    console.log(`coma ${before.last.value.toFixed(2)} -> ${after.last.value.toFixed(2)} waves${turns[0].test ? " (test)" : ""}`);
    if (!turns[0].test) {
      assert.ok(after.last.value < before.last.value, `${before.last.value} -> ${after.last.value}`);
      break;
    }
    await page.getByRole("button", { name: "I turned it" }).waitFor();
    before = after;
  }
  await page.getByRole("heading", { name: "Collimate" }).waitFor();
  assert.deepEqual(await look_at({ context, page }, "red"), []);
});

test("turns and clips of the simulated night stand in one night of the logbook", async () => {
  const { nights } = await get("api/log");
  assert.equal(nights.length, 1, JSON.stringify(nights));
  assert.ok(nights[0].turns > 0);
  await page.goto(server.address + "#logbook");
  await page.getByText("screw a", { exact: false }).first().waitFor(); // what it has learned
});

test("the rehearsal stops when asked", async () => {
  await page.goto(server.address + "#image");
  await page.getByRole("button", { name: "Stop" }).click();
  await page.getByRole("button", { name: "Stop" }).waitFor({ state: "detached" });
  const { jobs } = await get("api/jobs");
  assert.equal(jobs[0].state, "stopped");
  assert.deepEqual(faults, []);
});
