// The real binary and a real browser, as the page tests use them.
import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtemp, rm } from "node:fs/promises";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

export const halfarc = process.env.HALFARC ?? "build/release/halfarc";
// The packages that the build fetched for the pages (web/CMakeLists.txt).
export const packages = createRequire(resolve(process.env.HALFARC_WEB ?? "web", "package.json"));
const chromium_path = process.env.CHROMIUM ?? "/usr/bin/chromium";

export async function scratch() {
  const folder = await mkdtemp(join(tmpdir(), "halfarc-page-"));
  return {
    folder,
    home: join(folder, "home"),
    clips: join(folder, "clips"),
    remove: () => rm(folder, { recursive: true, force: true }),
  };
}

// Runs a command of the binary to its end; throws with its own words when it fails.
export async function run(words, env = {}) {
  const child = spawn(halfarc, words, { env: { ...process.env, ...env } });
  let said = "";
  child.stdout.on("data", (chunk) => (said += chunk));
  child.stderr.on("data", (chunk) => (said += chunk));
  const [code] = await once(child, "close");
  if (code !== 0) throw new Error(`halfarc ${words.join(" ")}: exit ${code}\n${said}`);
  return said;
}

// `halfarc serve`, started; resolves when it has printed its addresses.
export async function serve({ home, clips }, { port = 0, lan = false } = {}) {
  const words = ["serve", "--watch", clips, "--port", String(port), ...(lan ? ["--lan"] : [])];
  const child = spawn(halfarc, words, {
    env: { ...process.env, HALFARC_HOME: home },
  });
  let said = "";
  child.stderr.on("data", (chunk) => (said += chunk));
  await new Promise((resolve, reject) => {
    child.on("close", (code) => reject(new Error(`halfarc serve ended with ${code}\n${said}`)));
    child.stdout.on("data", (chunk) => {
      said += chunk;
      if (/http:\/\/\S+:\d+/.test(said)) setTimeout(resolve, 100); // the rest of the words follows at once
    });
  });
  const addresses = [...said.matchAll(/http:\/\/[^\s#]+:\d+/g)].map(([address]) => address + "/");
  const end = async (signal) => {
    if (child.exitCode !== null || child.signalCode !== null) return;
    child.kill(signal);
    await once(child, "close");
  };
  return {
    addresses,
    said,
    pid: child.pid,
    address: addresses.find((one) => one.includes("127.0.0.1")) ?? addresses[0],
    port: Number(new URL(addresses[0]).port),
    stop: () => end("SIGTERM"),
    kill: () => end("SIGKILL"),
  };
}

export async function open_browser() {
  const { chromium } = packages("playwright-core");
  return chromium.launch({
    executablePath: chromium_path,
    args: ["--no-sandbox"],
  });
}

// A window with the light already chosen, as an owner's browser has it after the first evening.
export async function open_window(browser, { width, height, light }) {
  const context = await browser.newContext({
    viewport: { width, height },
    acceptDownloads: true,
  });
  await context.addInitScript((chosen) => {
    try {
      localStorage.setItem("halfarc.mode", JSON.stringify({ light: chosen, brightness: 1 }));
    } catch {
      // A blank page has no storage.
    }
  }, light);
  const page = await context.newPage();
  const faults = [];
  page.on("pageerror", (error) => faults.push(error.message));
  page.on("console", (message) => {
    // A server that is away on purpose is told of by the browser itself.
    if (message.type() === "error" && !/Failed to load resource|net::ERR/.test(message.text())) faults.push(message.text());
  });
  return { context, page, faults };
}
