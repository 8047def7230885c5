// A part to put in: its kind and the few things that change where the light comes together.
import { useState } from "preact/hooks";
import { Choice } from "../parts/choice";
import { part_of, type Part } from "./rig_text";

type Kind = "spacer" | "amplifier" | "corrector" | "filter" | "diagonal";

interface Usual {
  words: string;
  length_mm: string;
  more: Record<string, string>;
}

// The usual values of each kind: those of the rig that `halfarc init` writes; edit them in the file afterwards.
const usual: Record<Kind, Usual> = {
  spacer: { words: "Spacer", length_mm: "20", more: {} },
  amplifier: { words: "Amplifier", length_mm: "72", more: { magnification: "2.0", telecentric: "true", lens_gap_mm: "60.0" } },
  corrector: {
    words: "Corrector",
    length_mm: "30",
    more: {
      prism_deg: "4.0",
      prism_mm: "4.0",
      gap_mm: "3.0",
      lowest_mark: "0.0",
      highest_mark: "10.0",
      lever_deg_at_highest: "90.0",
      roll_deg: "0.0",
    },
  },
  filter: { words: "Filter", length_mm: "5", more: { glass_mm: "2.0" } },
  diagonal: { words: "Diagonal", length_mm: "100", more: {} },
};

const kinds = Object.keys(usual) as Kind[];

function decimal(words: string): string {
  const value = Number(words.replace(",", "."));
  return Number.isInteger(value) ? value.toFixed(1) : String(value);
}

function text_of(kind: Kind, name: string, length: string, magnification: string): string {
  const more = { ...usual[kind].more };
  if (kind === "amplifier") more["magnification"] = decimal(magnification);
  const lines = Object.entries(more).map(([key, value]) => `${key} = ${value}`);
  return ["[[part]]", `kind = "${kind}"`, `name = "${name}"`, `length_mm = ${decimal(length)}`, ...lines].join("\n");
}

// A name that no other part has: parts are told apart by it.
function free_name(kind: Kind, taken: readonly string[]): string {
  for (let n = 1; ; n++) {
    const name = n === 1 ? `new ${kind}` : `new ${kind} ${n}`;
    if (!taken.includes(name)) return name;
  }
}

interface NewPartProps {
  taken: readonly string[];
  add: (part: Part) => void;
  leave: () => void;
}

export function NewPart({ taken, add, leave }: NewPartProps) {
  const [kind, set_kind] = useState<Kind>("spacer");
  const [length, set_length] = useState(usual.spacer.length_mm);
  const [magnification, set_magnification] = useState("2.0");
  const [name, set_name] = useState("");
  const right = Number(length.replace(",", ".")) > 0 && Number(magnification.replace(",", ".")) > 0;
  const clean = name.replace(/["\\,]/g, " ").trim();
  const fresh = clean !== "" && !taken.includes(clean) ? clean : free_name(kind, taken);
  return (
    <form
      class="sheet stack"
      onSubmit={(event) => {
        event.preventDefault();
        add(part_of(text_of(kind, fresh, length, magnification)));
      }}
    >
      <h2>Put a part in</h2>
      <Choice
        label="Kind of part"
        value={kind}
        options={kinds.map((value) => ({ value, words: usual[value].words }))}
        choose={(value) => {
          set_kind(value);
          set_length(usual[value].length_mm);
        }}
      />
      <label class="field">
        Length, mm
        <input value={length} inputMode="decimal" onInput={(event) => set_length(event.currentTarget.value)} />
      </label>
      {kind === "amplifier" && (
        <label class="field">
          Magnification
          <input value={magnification} inputMode="decimal" onInput={(event) => set_magnification(event.currentTarget.value)} />
        </label>
      )}
      <label class="field">
        Your name for it
        <input value={name} placeholder={fresh} onInput={(event) => set_name(event.currentTarget.value)} />
      </label>
      <div class="row">
        <button class="main" disabled={!right}>
          See what it does
        </button>
        <button type="button" onClick={leave}>
          Leave it
        </button>
      </div>
    </form>
  );
}
