// The place: four figures, written into site.toml without touching the rest of it.
import { useState } from "preact/hooks";
import * as api from "../api";
import { use_doing, use_load } from "../load";
import { DoingFace } from "../parts/doing";
import { LoadedFace } from "../parts/faces";
import type { OwnersFile } from "../wire";
import { key_of, with_key } from "./rig_text";

const asked = [
  { key: "name", words: "Name of the place" },
  { key: "latitude_deg", words: "Latitude, degrees, north positive" },
  { key: "longitude_deg", words: "Longitude, degrees, west negative" },
  { key: "height_m", words: "Height above the sea, metres" },
] as const;

// As TOML writes it: a text in quotes, a number as a number; what is no number is left for the program to refuse.
function toml(key: string, words: string): string {
  if (key === "name") return JSON.stringify(words);
  const value = Number(words.replace(",", ".").trim());
  return Number.isFinite(value) && words.trim() !== ""
    ? Number.isInteger(value)
      ? value.toFixed(1)
      : String(value)
    : JSON.stringify(words);
}

function Editor({ file, kept }: { file: OwnersFile; kept: () => void }) {
  const [values, set_values] = useState<Record<string, string>>({});
  const doing = use_doing();
  const save = () =>
    doing.run(async () => {
      let text = file.text;
      for (const [key, words] of Object.entries(values)) text = with_key(text, key, toml(key, words));
      await api.write_file("site", text);
      kept();
      return "Kept. The nights are worked out for this place now.";
    });
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        save();
      }}
    >
      {asked.map(({ key, words }) => (
        <label class="field" key={key}>
          {words}
          <input
            value={values[key] ?? key_of(file.text, key)}
            inputMode={key === "name" ? "text" : "decimal"}
            onInput={(event) => set_values({ ...values, [key]: event.currentTarget.value })}
          />
        </label>
      ))}
      <div>
        <button class="main" disabled={doing.busy || Object.keys(values).length === 0}>
          Keep
        </button>
      </div>
      <DoingFace of={doing} />
    </form>
  );
}

export function SiteEditor() {
  const file = use_load(() => api.read_file("site"), "site");
  return (
    <LoadedFace of={file} what="Reading the place">
      {(value) => <Editor file={value} kept={file.again} />}
    </LoadedFace>
  );
}
