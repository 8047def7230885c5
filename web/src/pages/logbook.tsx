// The logbook: nights, what was learned, notes, search and export.
import { useState } from "preact/hooks";
import * as api from "../api";
import { use_doing, use_load } from "../load";
import { Learned } from "../logbook/learned";
import { NightView } from "../logbook/night_view";
import { DoingFace } from "../parts/doing";
import { LoadedFace, Nothing } from "../parts/faces";
import { go } from "../route";
import type { Log, LogRow } from "../wire";
import { day } from "../words";

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
        Note for tonight
        <input value={text} placeholder="for example: dew since 22:10" onInput={(event) => set_text(event.currentTarget.value)} />
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

// A list holds rows with counts; an export would hold whole nights.
function rows_of({ nights = [] }: Log): LogRow[] {
  return nights.filter((night): night is LogRow => typeof night.recordings === "number");
}

function counted(n: number, one: string, many: string): string[] {
  return n === 0 ? [] : [`${n} ${n === 1 ? one : many}`];
}

function Nights({ rows, searched }: { rows: readonly LogRow[]; searched: boolean }) {
  if (rows.length === 0)
    return (
      <Nothing title={searched ? "Nothing found" : "No night yet"}>
        <p>{searched ? "Try fewer letters." : "The first clip that is read opens the logbook."}</p>
      </Nothing>
    );
  return (
    <ul class="list" aria-label="Nights, newest first">
      {rows.map(({ date, site, targets, recordings, turns, images, notes }) => (
        <li key={date + site}>
          <button onClick={() => go("logbook", date)}>
            <strong>{day(date)}</strong>
            <div>{targets}</div>
            <div class="quiet">
              {[
                ...counted(recordings, "recording", "recordings"),
                ...counted(turns, "turn", "turns"),
                ...counted(images, "image", "images"),
                ...counted(notes, "note", "notes"),
              ].join(", ")}
            </div>
          </button>
        </li>
      ))}
    </ul>
  );
}

export function Logbook({ rest }: { rest: string }) {
  const [search, set_search] = useState("");
  const loaded = use_load(() => api.log(search.trim()), search.trim(), ["log", "reading"]);
  if (rest) return <NightView date={rest} key={rest} />;
  return (
    <div class="stack wide">
      <h1>Logbook</h1>
      <div class="halves">
        <div class="stack">
          <label class="field">
            Search
            <input type="search" value={search} onInput={(event) => set_search(event.currentTarget.value)} />
          </label>
          <LoadedFace of={loaded} what="Reading the logbook">
            {(value) => <Nights rows={rows_of(value)} searched={search.trim() !== ""} />}
          </LoadedFace>
        </div>
        <div class="stack wide">
          <Note kept={loaded.again} />
          <Learned />
          <div class="row">
            <a class="button" href={api.log_export("csv")} download>
              Export as CSV
            </a>
            <a class="button" href={api.log_export("json")} download>
              Export as JSON
            </a>
          </div>
        </div>
      </div>
    </div>
  );
}
