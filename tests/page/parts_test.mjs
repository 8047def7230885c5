// The pages' own reckoning, without a browser: the rig as text, the drawn horizon, amounts as people say them, numbers
// with their errors.
import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { packages } from "./bench.mjs";

const source = new URL("../../web/src/", import.meta.url).pathname;
const folder = await mkdtemp(join(tmpdir(), "halfarc-parts-"));
await packages("esbuild").build({
  entryPoints: ["rig/rig_text.ts", "rig/horizon.ts", "telescope/amount.ts", "words.ts"].map((name) => join(source, name)),
  outdir: folder,
  outbase: source,
  outExtension: { ".js": ".mjs" },
  bundle: true,
  format: "esm",
});
const rig = await import(join(folder, "rig/rig_text.mjs"));
const horizon = await import(join(folder, "rig/horizon.mjs"));
const amount = await import(join(folder, "telescope/amount.mjs"));
const words = await import(join(folder, "words.mjs"));
test.after(() => rm(folder, { recursive: true, force: true }));

const text = `name = "mine" # with a comment

[telescope]
kind = "sct"

# the train
[[part]]
kind = "spacer"
name = "a # b"   # a name with a sign in it
length_mm = 20.0

[[part]]
kind = "filter"
name = "cut"
passes_nm = [400.0, 690.0]  # light

[camera]
pixel_um = 3.45
`;

test("a rig is cut into its parts and joined without losing a comment", () => {
  const cut = rig.cut(text);
  assert.deepEqual(
    cut.parts.map(({ keys }) => keys.name),
    ["a # b", "cut"],
  );
  const again = rig.joined(cut);
  for (const line of text.split("\n")) assert.ok(again.includes(line), line);
  assert.deepEqual(rig.cut(again), rig.cut(rig.joined(rig.cut(again))));
});

test("a trial takes out and puts in only what changed", () => {
  const { parts } = rig.cut(text);
  assert.deepEqual(rig.trial_of(parts, parts), { add: [], remove: [] });
  assert.deepEqual(rig.trial_of(parts, [parts[1]]), {
    add: [],
    remove: ["a # b"],
  });
  const fresh = rig.part_of('[[part]]\nkind = "spacer"\nname = "x"\nlength_mm = 5.0');
  assert.deepEqual(rig.trial_of(parts, [parts[0], fresh, parts[1]]), {
    add: ["kind=spacer,name=x,length_mm=5.0,at=cut"],
    remove: [],
  });
  assert.deepEqual(rig.trial_of(parts, rig.moved(parts, 1, 0)), {
    add: ["kind=filter,name=cut,passes_nm=[400.0,690.0]", "kind=spacer,name=a # b,length_mm=20.0"],
    remove: ["a # b", "cut"],
  });
});

test("a key is set beside its comment", () => {
  assert.equal(rig.with_key("height_m = 12.0   # above the sea\n", "height_m", "30.0"), "height_m = 30.0    # above the sea\n");
  assert.equal(rig.with_key("a = 1\n", "b", "2"), "a = 1\nb = 2\n");
});

test("a drawn horizon comes back from its file", () => {
  const flat = horizon.from_csv("");
  const roof = { altitude: 12, kind: "roof", warm: true };
  const traced = horizon.drawn(flat, 350, 370, roof); // across north
  assert.deepEqual(
    [350, 355, 0, 5, 10].map((azimuth) => traced[azimuth / horizon.step_deg].altitude),
    [12, 12, 12, 12, 12],
  );
  assert.deepEqual(horizon.from_csv(horizon.to_csv(traced)), traced);
});

test("amounts are said as a hand turns them", () => {
  assert.equal(amount.in_words({ control: "focus", value: -3 / 16 }), "3/16 turn counter-clockwise");
  assert.equal(amount.in_words({ control: "screw-a", value: 1.25 }), "1 1/4 turns clockwise");
  assert.equal(amount.in_words({ control: "levers", value: 3.5 }), "3.5 marks up the scale");
  assert.equal(amount.in_words({ control: "roll", value: -4 }), "4° counter-clockwise");
  assert.equal(amount.as_typed({ control: "levers", value: -3.5 }), "-3.5 mark");
});

test("a number has as many decimals as its error deserves", () => {
  assert.equal(words.with_error(13.938, 0.085), "13.938 ± 0.085");
  assert.equal(words.with_error(0.6163, 0.0412), "0.616 ± 0.041");
  assert.equal(words.with_error(120.4, 15.2), "120 ± 15");
  assert.equal(words.figure(0.17001, 4), "0.17");
  assert.equal(words.figure(4060.2, 4), "4060");
  assert.equal(words.said("coma 0.3 +- 0.1 waves, best (34 deg)"), "Coma 0.3 ± 0.1 waves, best (34°)");
});
