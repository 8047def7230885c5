// Which runs become an image, and how much detail is drawn out of them.
import { useState } from "preact/hooks";
import * as api from "../api";
import { use_doing, use_load } from "../load";
import { Choice } from "../parts/choice";
import { DoingFace } from "../parts/doing";
import { LoadedFace, Nothing } from "../parts/faces";
import type { Recording } from "../wire";
import { clock } from "../words";

const details = [
  { value: "softer", words: "Softer" },
  { value: "as-measured", words: "As measured" },
  { value: "harder", words: "Harder" },
] as const;

// Bodies that turn noticeably while they are recorded.
const turning: ReadonlySet<string> = new Set(["mars", "jupiter", "saturn", "uranus", "neptune"]);

type Detail = (typeof details)[number]["value"];

function Form({ runs, first }: { runs: readonly Recording[]; first: string | undefined }) {
  const [chosen, set_chosen] = useState<readonly string[]>(first ? [first] : []);
  const [detail, set_detail] = useState<Detail>("as-measured");
  const [spin, set_spin] = useState(false);
  const [north, set_north] = useState("");
  const doing = use_doing();
  const targets = new Set(runs.filter(({ id }) => chosen.includes(id)).map(({ target }) => target ?? ""));
  const [target] = targets;
  const spins = targets.size === 1 && target !== undefined && turning.has(target.toLowerCase());
  const toggle = (id: string) => set_chosen(chosen.includes(id) ? chosen.filter((one) => one !== id) : [...chosen, id]);
  const make = () =>
    doing.run(async () => {
      const turned = north.trim() === "" ? {} : { north_deg: Number(north) };
      await api.make({ runs: [...chosen], detail, ...(spins && spin ? { target, ...turned } : {}) });
    });
  return (
    <div class="stack">
      <h2>Make an image</h2>
      <ul class="choices" aria-label="Runs">
        {runs.map(({ id, name, mid_utc }) => (
          <li key={id}>
            <button aria-pressed={chosen.includes(id)} onClick={() => toggle(id)}>
              {name}
              {mid_utc && ` · ${clock(mid_utc)}`}
            </button>
          </li>
        ))}
      </ul>
      <Choice label="Detail" value={detail} options={details} choose={set_detail} />
      <p class="quiet">
        Two independent halves of the data decide how far detail is drawn out. Softer and harder lean a little to either side.
      </p>
      {spins && (
        <div class="row">
          <button aria-pressed={spin} onClick={() => set_spin(!spin)}>
            Undo the spin of {target}
          </button>
          {spin && (
            <label class="field">
              Its north on the image, degrees clockwise from up
              <input
                value={north}
                inputMode="decimal"
                placeholder="empty: from the data"
                onInput={(event) => set_north(event.currentTarget.value)}
              />
            </label>
          )}
        </div>
      )}
      <div>
        <button class="main" disabled={chosen.length === 0 || doing.busy} onClick={make}>
          {chosen.length === 0
            ? "Choose a run"
            : chosen.length === 1
              ? "Make the image"
              : `Make one image of ${chosen.length} runs`}
        </button>
      </div>
      <DoingFace of={doing} />
    </div>
  );
}

export function MakeForm({ first }: { first?: string | undefined }) {
  const loaded = use_load(api.recordings, "recordings", ["reading"]);
  return (
    <LoadedFace of={loaded} what="Reading the folder">
      {({ recordings }) => {
        const runs = recordings.filter(({ kind }) => kind === undefined || kind === "planet" || kind === "surface");
        if (runs.length === 0)
          return (
            <Nothing title="No run to make an image of">
              <p>Record a run of a planet or the Moon into the watched folder.</p>
            </Nothing>
          );
        return <Form runs={runs} first={first} />;
      }}
    </LoadedFace>
  );
}
