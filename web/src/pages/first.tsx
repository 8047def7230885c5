// First start: the place, the kind of telescope, and the night can begin; or straight into the rehearsal.
import { useState } from "preact/hooks";
import * as api from "../api";
import { use_doing } from "../load";
import { Choice } from "../parts/choice";
import { DoingFace } from "../parts/doing";
import { go } from "../route";
import type { Status } from "../wire";

const kinds = [
  { value: "sct", words: "Schmidt-Cassegrain" },
  { value: "maksutov", words: "Maksutov" },
  { value: "newtonian", words: "Newtonian" },
  { value: "refractor", words: "Refractor" },
] as const;

type Kind = (typeof kinds)[number]["value"];

export function First({ status, done }: { status: Status; done: () => void }) {
  const [kind, set_kind] = useState<Kind>("sct");
  const [place, set_place] = useState({ name: "", latitude: "", longitude: "", height: "" });
  const doing = use_doing();
  const set = (part: Partial<typeof place>) => set_place({ ...place, ...part });
  const entry = (name: keyof typeof place, words: string, hint: string) => (
    <label class="field">
      {words}
      <input
        value={place[name]}
        placeholder={`for example ${hint}`}
        inputMode={name === "name" ? "text" : "decimal"}
        onInput={(event) => set({ [name]: event.currentTarget.value })}
      />
    </label>
  );
  const located = place.latitude.trim() !== "" && place.longitude.trim() !== "";
  const begin = () =>
    doing.run(async () => {
      const site = [place.latitude, place.longitude, place.height || "0"].map((s) => s.trim()).join(",");
      await api.init({ telescope: kind, site, ...(place.name.trim() ? { name: place.name.trim() } : {}) });
      done();
      go("rig");
    });
  const rehearse = () =>
    doing.run(async () => {
      await api.init({ telescope: "sct" });
      await api.rehearse();
      done();
      go("telescope");
    });
  return (
    <div class="stack wide">
      <h1>Two answers and the night can begin</h1>
      <div class="halves">
        <div class="stack wide">
          <section class="stack">
            <h2>Which telescope?</h2>
            <Choice label="Kind of telescope" value={kind} options={kinds} choose={set_kind} />
            <p class="quiet">You get the usual train of its kind; change the parts on the next page.</p>
          </section>
          <section class="stack">
            <h2>Where does it stand?</h2>
            {entry("latitude", "Latitude, degrees, north positive", "57.1")}
            {entry("longitude", "Longitude, degrees, west negative", "-2.1")}
            {entry("height", "Height above the sea, metres", "12")}
            {entry("name", "Name of the place, if you like", "Kelderhaven")}
          </section>
          <div class="stack">
            <button class="main" disabled={!located || doing.busy} onClick={begin}>
              {located ? "Begin" : "Begin: first say where"}
            </button>
            <DoingFace of={doing} />
          </div>
        </div>
        <section class="sheet stack">
          <h2>Or practise first</h2>
          <p>A simulated night in Kelderhaven. You turn the knob and the screws; the clips answer. Nothing outdoors is needed.</p>
          <button disabled={doing.busy || !status.watching} onClick={rehearse}>
            Start the rehearsal
          </button>
          {!status.watching && <p>It needs a folder for its clips: start halfarc serve --watch FOLDER.</p>}
        </section>
      </div>
    </div>
  );
}
