// One night of the logbook, in order of time: recordings and what they said, turns, images, notes.
import type { ComponentChildren } from "preact";
import * as api from "../api";
import { use_load } from "../load";
import { LoadedFace } from "../parts/faces";
import { go } from "../route";
import { in_words, name_of } from "../telescope/amount";
import type { LogNight } from "../wire";
import { capital, clock, day, with_error } from "../words";

interface Entry {
  utc: string;
  shown: ComponentChildren;
}

function file_of(path: string): string {
  return path.slice(path.lastIndexOf("/") + 1);
}

function entries_of(night: LogNight): Entry[] {
  const all: Entry[] = [
    ...night.recordings.map(({ start_utc, path, target, kind, readings }) => ({
      utc: start_utc,
      shown: (
        <>
          <strong>{file_of(path)}</strong> {target || kind}
          <ul>
            {readings.map(({ name, value, sigma, unit }) => (
              <li key={name} class="quiet number">
                {name.replace(/[_-]/g, " ")} {with_error(value, sigma)} {unit}
              </li>
            ))}
          </ul>
        </>
      ),
    })),
    ...night.turns.map(({ utc, control, amount }) => ({
      utc,
      shown: `${capital(name_of(control))}: ${in_words({ control, value: amount })}`,
    })),
    ...night.images.map(({ utc, path, resolved_arcsec, resolved_sigma }) => ({
      utc,
      shown: `Image ${file_of(path)}${resolved_arcsec === undefined ? "" : `, real down to ${with_error(resolved_arcsec, resolved_sigma)}″`}`,
    })),
    ...night.notes.map(({ utc, text }) => ({ utc, shown: text })),
  ];
  return all.sort((a, b) => a.utc.localeCompare(b.utc));
}

export function NightView({ date }: { date: string }) {
  const loaded = use_load(() => api.log_night(date), date, ["log", "reading"]);
  return (
    <div class="stack">
      <h1>{day(date)}</h1>
      <LoadedFace of={loaded} what="Reading the night">
        {({ night }) =>
          night && (
            <>
              <p>{[night.site, night.targets].filter(Boolean).join(" · ")}</p>
              <ol class="dolist">
                {entries_of(night).map(({ utc, shown }, i) => (
                  <li key={utc + String(i)}>
                    <time dateTime={utc}>{clock(utc)}</time>
                    <div>{shown}</div>
                  </li>
                ))}
              </ol>
            </>
          )
        }
      </LoadedFace>
      <div class="row">
        <button onClick={() => go("logbook")}>All nights</button>
        <a class="button" href={api.night_report(date, "html")} download>
          Report to print
        </a>
        <a class="button" href={api.night_report(date, "txt")} download>
          As text
        </a>
      </div>
    </div>
  );
}
