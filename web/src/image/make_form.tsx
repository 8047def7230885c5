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

type Detail = (typeof details)[number]["value"];

function Form({ runs, first }: { runs: readonly Recording[]; first: string | undefined }) {
  const [chosen, set_chosen] = useState<readonly string[]>(first ? [first] : []);
  const [detail, set_detail] = useState<Detail>("as-measured");
  const doing = use_doing();
  const toggle = (id: string) => set_chosen(chosen.includes(id) ? chosen.filter((one) => one !== id) : [...chosen, id]);
  const make = () =>
    doing.run(async () => {
      await api.make({ runs: [...chosen], detail });
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
