// Writes src/contracts/<name>.ts from docs/contracts/<name>.schema.json, so that the pages cannot drift from what the
// program prints. Every schema's root becomes the type `Document` of its file.
import { mkdir, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { compile } from "json-schema-to-typescript";

const here = dirname(fileURLToPath(import.meta.url));
const from = join(here, "../../docs/contracts");
const to = join(here, "../src/contracts");
const ending = ".schema.json";

await rm(to, { recursive: true, force: true });
await mkdir(to, { recursive: true });
for (const file of (await readdir(from)).filter((name) => name.endsWith(ending))) {
  const schema = JSON.parse(await readFile(join(from, file), "utf8"));
  // Titles and $id would otherwise name the type; the file already does.
  const { title: _title, $id: _id, ...body } = schema;
  const text = await compile({ ...body, title: "Document" }, "Document", {
    cwd: from,
    bannerComment: `// Made from docs/contracts/${file} by tools/contracts.mjs.`,
    format: false,
    ignoreMinAndMaxItems: true,
  });
  await writeFile(join(to, `${file.slice(0, -ending.length)}.ts`), text);
}
