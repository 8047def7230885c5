// What hours of idle pages cost: ten tabs of one browser and ten streams of other devices listen, an event comes every
// two seconds, and the memory of the server and of a tab is looked at. Nothing may grow.
//
//   HALFARC=build/release/halfarc HALFARC_WEB=build/release/web-work/web node bench/serve_soak.mjs [--minutes 20]
//       [--tabs 10] [--streams 10]        a night and a day: --minutes 1440
import { mkdir, readFile } from "node:fs/promises";
import { request } from "node:http";
import { open_browser, scratch, serve, run } from "../tests/page/bench.mjs";

const option = (name, usual) => {
  const at = process.argv.indexOf("--" + name);
  return at < 0 ? usual : Number(process.argv[at + 1]);
};
const minutes = option("minutes", 20);
const most_growth_kib = 4096; // what an allocator may keep back

const place = await scratch();
await mkdir(place.clips, { recursive: true });
await run(["init"], { HALFARC_HOME: place.home });
const server = await serve(place);

const status = async () => {
  const text = await readFile(`/proc/${server.pid}/status`, "utf8");
  const of = (key) => Number(new RegExp(`^${key}:\\s+(\\d+)`, "m").exec(text)[1]);
  return { rss_kib: of("VmRSS"), threads: of("Threads") };
};

let heard = 0;
const streams = Array.from({ length: option("streams", 10) }, () => {
  const line = request(server.address + "api/events", (answer) =>
    answer.on("data", (chunk) => (heard += chunk.toString().split("event: log").length - 1)),
  );
  line.end();
  return line;
});

const browser = await open_browser();
const context = await browser.newContext();
const names = ["tonight", "telescope", "recordings", "image", "logbook"];
const pages = [];
for (let i = 0; i < option("tabs", 10); i++) {
  const page = await context.newPage();
  await page.goto(`${server.address}#${names[i % names.length]}`);
  await page.locator("main h1, main article").first().waitFor();
  pages.push(page);
}
const heap_kib = async () => {
  let most = 0;
  for (const page of pages) {
    const devtools = await context.newCDPSession(page);
    await devtools.send("HeapProfiler.collectGarbage");
    const { usedSize } = await devtools.send("Runtime.getHeapUsage");
    await devtools.detach();
    most = Math.max(most, usedSize / 1024);
  }
  return Math.round(most);
};

const write_note = (text) =>
  fetch(server.address + "api/notes", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ text }),
  });

const began = Date.now();
let written = 0;
const looks = [];
while (Date.now() - began < minutes * 60_000) {
  if ((await write_note("an idle night")).ok) written++;
  await new Promise((done) => setTimeout(done, 2000));
  const due = (looks.length * minutes * 60_000) / 10;
  if (Date.now() - began >= due) {
    looks.push({ at_s: Math.round((Date.now() - began) / 1000), ...(await status()), tab_kib: await heap_kib() });
    console.log(`bench: serve soak, after ${looks.at(-1).at_s} s  ${JSON.stringify(looks.at(-1))}`);
  }
}
const settled = looks[Math.min(2, looks.length - 1)];
const last = looks.at(-1);
console.log(`bench: serve soak, events a stream  ${heard / streams.length} of ${written}`);
console.log(`bench: serve soak, server memory  ${last.rss_kib} KiB, grown by ${last.rss_kib - settled.rss_kib}`);
console.log(`bench: serve soak, largest tab's heap  ${last.tab_kib} KiB, grown by ${last.tab_kib - settled.tab_kib}`);
for (const line of streams) line.destroy();
await browser.close();
await server.stop();
await place.remove();
const failed =
  last.rss_kib - settled.rss_kib > most_growth_kib || last.tab_kib - settled.tab_kib > most_growth_kib || heard < written;
process.exit(failed ? 1 : 0);
