// A small server to draw pages against before `halfarc serve` is at hand: real documents of the real binary, only the
// night's story (steps, recordings, jobs) is made of two recordings that `halfarc rehearse` wrote.
//
//   node dev/server.mjs [PORT]     with HALFARC (the binary), HALFARC_HOME and TAKES (a folder made by rehearse -o)
import { execFile } from "node:child_process";
import { readFile, writeFile } from "node:fs/promises";
import { createServer } from "node:http";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";

const run = promisify(execFile);
const dist = join(dirname(fileURLToPath(import.meta.url)), "../dist");
const halfarc = process.env.HALFARC ?? "halfarc";
const home = process.env.HALFARC_HOME ?? ".";
const takes = process.env.TAKES ?? ".";
const port = Number(process.argv[2] ?? 8123);
const kinds = { html: "text/html; charset=utf-8", js: "text/javascript", css: "text/css", png: "image/png" };
const csp =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; base-uri 'none'; " +
  "form-action 'none'; frame-ancestors 'none'";

const json = async (words) => (await run(halfarc, [...words, "--json"], { maxBuffer: 1 << 26 })).stdout;
const option = (query, name, as = name) => query.getAll(name).flatMap((value) => [`--${as}`, value]);
const clip = join(takes, "clip-1-ruddy.fits");
const check = json(["check", clip]);

const recordings = [
  {
    id: "r2",
    name: "run-1-ruddy.fits",
    path: "run-1-ruddy.fits",
    mid_utc: "2026-12-04T21:12:03.000Z",
    kind: "planet",
    target: "Mars",
    words: "Best run so far: 0.62″.",
    frames: 1000,
    checked: true,
    image: "i1",
  },
  {
    id: "r1",
    name: "clip-1-ruddy.fits",
    path: "clip-1-ruddy.fits",
    mid_utc: "2026-12-04T21:00:00.799Z",
    kind: "planet",
    words: "Red and blue lie 1.09 ± 0.01″ apart.",
    frames: 200,
    checked: true,
  },
];
const step = (step, title, more = {}) => ({ step, title, advice: [], trend: [], ...more });
const turn = (control, turn, unit, direction, words) => ({
  control,
  turn,
  unit,
  direction,
  sigma: Math.abs(turn) / 6,
  gain: 0.12,
  words,
});
const read = (value, sigma, unit, words) => ({ utc: "2026-12-04T21:00:00Z", recording: "r1", words, value, sigma, unit });
const trend = [0.9, 0.5, 0.31, 0.12].map((value, i) => ({ utc: `2026-12-04T20:${10 + 12 * i}:00Z`, value, sigma: 0.06 }));
const steps = [
  step("cool", "Cool", {
    last: read(0.8, 0.1, "K", "The mirror is still warm."),
    advice: [turn("cooling", 25, "min", "", "Wait: the plume halves every 38 min.")],
    trend,
  }),
  step("collimate", "Collimate", {
    last: read(0.31, 0.04, "waves", "Coma towards 4 o'clock."),
    advice: [
      turn("screw-b", 0.125, "turn", "clockwise", "The star will move left by a quarter of the picture."),
      turn("screw-c", -0.0625, "turn", "counter-clockwise", "Then this one."),
    ],
    trend,
  }),
  step("train", "Put the parts on"),
  step("find", "Find the planet"),
  step("disperse", "Close the colour fringes", {
    last: read(1.09, 0.01, "″", "Red and blue lie 1.09 ± 0.01″ apart."),
    advice: [
      turn("levers", 3.5, "mark", "up", "Open both levers."),
      turn("roll", -4, "deg", "counter-clockwise", "Roll the corrector."),
    ],
    trend,
  }),
  step("focus", "Focus", {
    last: read(0.11, 0.03, "turn", "Best focus lies 0.11 ± 0.03 turn from here."),
    advice: [turn("focus", -0.109375, "turn", "counter-clockwise", "Go 1/4 past it clockwise first, then come back.")],
    trend,
  }),
  step("expose", "Set the exposure", { last: read(0.74, 0.01, "of full scale", "Nothing burnt out."), trend }),
  step("record", "Record"),
];

const files = { site: "site.toml", rig: "rig.toml", horizon: "horizon.csv" };
const refused = (words) => ({
  error: {
    what: String(words)
      .replace(/^halfarc: /, "")
      .trim(),
    where: "",
    to_do: "change it",
  },
});

async function answer(method, url, body) {
  const q = url.searchParams;
  const path = url.pathname.replace(/^\/api\//, "");
  const head = path.split("/")[0];
  if (path === "status")
    return {
      version: "0",
      home,
      watching: takes,
      has_site: !process.env.FIRST,
      has_rig: !process.env.FIRST,
      paired: !process.env.UNPAIRED,
      now_utc: new Date().toISOString(),
    };
  if (path === "tonight") return json(["plan", ...option(q, "date"), ...option(q, "target")]);
  if (head === "train")
    return json(["train", ...option(q, "target"), ...option(q, "at"), ...option(q, "remove"), ...option(q, "add")]);
  if (path === "budget") return json(["budget", ...option(q, "target"), ...option(q, "at"), ...q.getAll("run").map(() => clip)]);
  if (head in files && method === "PUT") return writeFile(join(home, files[head]), body.text).then(() => ({ ok: true }));
  if (head in files) return { text: await readFile(join(home, files[head]), "utf8").catch(() => ""), exists: true };
  if (path === "recordings") return { recordings: process.env.EMPTY ? [] : recordings };
  if (head === "recordings" && !path.endsWith("png")) return await check;
  if (path === "step") return { night: "2026-12-04", steps };
  if (path === "turned") return { ok: true, words: `Noted: ${body.control} ${body.amount}. Record the next clip.` };
  if (path === "jobs")
    return {
      jobs: [{ id: 1, kind: "make", state: "running", stage: "align", done: 430, total: 1000, words: "run-1-ruddy.fits" }],
    };
  if (path === "images")
    return {
      images: process.env.EMPTY
        ? []
        : [
            {
              id: "i1",
              name: "run-1-ruddy",
              utc: "2026-12-04T21:12:03Z",
              words: "Real down to 0.62 ± 0.04″",
              width: 176,
              height: 176,
              outputs: ["fits", "tif", "png"],
            },
          ],
    };
  if (path === "images/i1") return readFile(join(takes, "../image.json"), "utf8");
  if (head === "log") return { schema: "halfarc.log/1", nights: [] };
  return { ok: true };
}

createServer(async (request, response) => {
  const url = new URL(request.url, "http://localhost");
  const send = (status, type, body) =>
    response.writeHead(status, { "Content-Type": type, "Content-Security-Policy": csp, "Cache-Control": "no-store" }).end(body);
  try {
    if (url.pathname === "/api/events") {
      response
        .writeHead(200, { "Content-Type": "text/event-stream" })
        .write('id: 1\nevent: hello\ndata: {"version":"0","fresh":false,"now_utc":""}\n\n');
      return;
    }
    if (url.pathname.endsWith(".png")) return send(200, kinds.png, await readFile(join(takes, "run-1-ruddy-image.png")));
    if (url.pathname.startsWith("/api/")) {
      let text = "";
      for await (const chunk of request) text += chunk;
      const made = await answer(request.method, url, text ? JSON.parse(text) : undefined);
      return send(200, "application/json", typeof made === "string" ? made : JSON.stringify(made));
    }
    const name = url.pathname === "/" ? "index.html" : url.pathname.replace("/assets/", "");
    send(200, kinds[name.split(".").pop()] ?? "text/plain", await readFile(join(dist, name)));
  } catch (error) {
    send(422, "application/json", JSON.stringify(refused(error.stderr ?? error.message)));
  }
}).listen(port, "127.0.0.1", () => console.log(`http://127.0.0.1:${port}/`));
