// Bundles the pages into web/dist (or the folder given): index.html, app.js, app.css and nothing else.
import { copyFile, mkdir, readFile } from "node:fs/promises";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { build } from "esbuild";

const web = join(dirname(fileURLToPath(import.meta.url)), "..");
const out = resolve(process.argv[2] ?? join(web, "dist"));
const most_bytes = 150 * 1024; // compressed, of all files together

await mkdir(out, { recursive: true });
await build({
  entryPoints: { app: join(web, "src/main.tsx") },
  bundle: true,
  minify: true,
  format: "iife",
  target: "es2021",
  charset: "utf8",
  legalComments: "none",
  outdir: out,
  logLevel: "warning",
});
await copyFile(join(web, "src/index.html"), join(out, "index.html"));

let total = 0;
for (const name of ["index.html", "app.js", "app.css"]) {
  total += gzipSync(await readFile(join(out, name)), { level: 9 }).length;
}
console.log(`${out}: ${(total / 1024).toFixed(1)} KB compressed`);
if (total > most_bytes) {
  console.error(`web: the pages are ${total} bytes compressed, more than the ${most_bytes} allowed`);
  process.exit(1);
}
