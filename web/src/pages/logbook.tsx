// The logbook: nights, what was learned, notes, search and export.
import { useState } from "preact/hooks";
import * as api from "../api";
import { use_doing, use_load } from "../load";
import { DoingFace } from "../parts/doing";
import { LoadedFace, Nothing } from "../parts/faces";
import { lines_of } from "../wire";

function Note({ kept }: { kept: () => void }) {
  const [text, set_text] = useState("");
  const doing = use_doing();
  const keep = () =>
    doing.run(async () => {
      await api.note(text.trim());
      set_text("");
      kept();
      return "Noted.";
    });
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        keep();
      }}
    >
      <label class="field">
        Note
        <input value={text} placeholder="wind from the north-east, dew since 22:10" onInput={(event) => set_text(event.currentTarget.value)} />
      </label>
      <div>
        <button class="main" disabled={text.trim() === "" || doing.busy}>
          Note it
        </button>
      </div>
      <DoingFace of={doing} />
    </form>
  );
}

export function Logbook() {
  const [search, set_search] = useState("");
  const loaded = use_load(() => api.log(search.trim()), search.trim(), ["log", "reading"]);
  return (
    <div class="stack wide">
      <h1>Logbook</h1>
      <Note kept={loaded.again} />
      <label class="field">
        Search
        <input type="search" value={search} onInput={(event) => set_search(event.currentTarget.value)} />
      </label>
      <LoadedFace of={loaded} what="Reading the logbook">
        {({ nights = [] }) =>
          nights.length === 0 ? (
            <Nothing title={search ? "Nothing found" : "No night yet"}>
              <p>{search ? "Try fewer letters." : "The first clip that is read opens the logbook."}</p>
            </Nothing>
          ) : (
            <ul class="list">
              {nights.map(({ night, words }) => (
                <li key={night}>
                  <strong>{night}</strong>
                  {lines_of(words).map((line) => (
                    <div key={line}>{line}</div>
                  ))}
                </li>
              ))}
            </ul>
          )
        }
      </LoadedFace>
      <div class="row">
        <a class="button" href={api.log_export("csv")} download>
          Export as CSV
        </a>
        <a class="button" href={api.log_export("json")} download>
          Export as JSON
        </a>
      </div>
    </div>
  );
}
