// The night's recordings, newest first, each in absolute units; seeing against time; what limits.
import * as api from "../api";
import { use_load } from "../load";
import { Chart } from "../parts/chart";
import { FaultFace, LoadedFace, Nothing } from "../parts/faces";
import { CheckView } from "../recordings/check_view";
import { Limits } from "../recordings/limits";
import { go } from "../route";
import { lines_of, type Check, type Recording } from "../wire";
import { clock, day, said, with_error } from "../words";

const asked_at_once = 24; // documents read for the curve; the newest

interface Air {
  utc: string;
  fwhm: number;
  sigma: number;
  name: string;
}

// The seeing block of a check, where one could be measured.
function air_of(recording: Recording, check: Check): Air[] {
  const { seeing } = check;
  if (!recording.mid_utc || !seeing) return [];
  return [{ utc: recording.mid_utc, fwhm: seeing.fwhm_arcsec, sigma: seeing.sigma, name: recording.name }];
}

async function airs_of(recordings: readonly Recording[]): Promise<Air[]> {
  const all: Air[] = [];
  for (const recording of recordings.filter(({ checked, mid_utc }) => checked && mid_utc).slice(0, asked_at_once)) {
    try {
      all.push(...air_of(recording, await api.recording(recording.id)));
    } catch {
      // A recording that has gone or cannot be read has no seeing; its own page says why.
    }
  }
  return all.sort((a, b) => a.utc.localeCompare(b.utc));
}

function Seeing({ recordings }: { recordings: readonly Recording[] }) {
  const airs = use_load(() => airs_of(recordings), recordings.map(({ id, checked }) => id + String(checked)).join());
  if (airs.fault) return <FaultFace fault={airs.fault} />;
  const points = airs.value ?? [];
  const best = points.reduce<Air | undefined>((least, one) => (!least || one.fwhm < least.fwhm ? one : least), undefined);
  return (
    <section class="stack">
      <h2>Seeing</h2>
      {best ? (
        <>
          <p class="bigwords">
            Best {with_error(best.fwhm, best.sigma)}″ at {clock(best.utc)}
          </p>
          {points.length > 1 && (
            <Chart
              label={`Seeing from ${clock(points[0]?.utc ?? "")} to ${clock(points[points.length - 1]?.utc ?? "")} UT; best ${with_error(best.fwhm, best.sigma)} arcseconds at ${clock(best.utc)}`}
              time
              x={points.map(({ utc }) => Date.parse(utc) / 1000)}
              x_label="UT"
              y_label="arcseconds"
              curves={[{ label: "seeing", values: points.map(({ fwhm }) => fwhm), points: true }]}
            />
          )}
        </>
      ) : (
        <p>No recording of tonight has told the seeing yet.</p>
      )}
    </section>
  );
}

function Row({ recording }: { recording: Recording }) {
  const { id, name, kind, target, mid_utc, frames, checked, words } = recording;
  const facts = [target ?? kind, mid_utc && `${clock(mid_utc)} UT`, frames && `${frames} frames`].filter(Boolean).join(" · ");
  return (
    <li>
      <button onClick={() => go("recordings", id)}>
        <strong>{name}</strong>
        <div class="quiet">{facts || (checked ? "" : "not read yet")}</div>
        <div class="brief">{said(lines_of(words).join(" "))}</div>
      </button>
    </li>
  );
}

export function Recordings({ rest }: { rest: string }) {
  const loaded = use_load(api.recordings, "recordings", ["reading", "clip"]);
  return (
    <LoadedFace of={loaded} what="Reading the folder">
      {({ recordings }) => {
        const one = recordings.find(({ id }) => id === rest);
        if (rest && one) return <CheckView recording={one} key={rest} />;
        const first = recordings[0];
        return (
          <div class="stack wide">
            <h1>Recordings</h1>
            {!first ? (
              <Nothing title="Nothing here yet">
                <p>Record a clip into the watched folder. It appears here by itself as soon as it is closed.</p>
              </Nothing>
            ) : (
              <div class="halves">
                <ul class="list" aria-label={first.mid_utc ? `Recordings, newest of ${day(first.mid_utc)} first` : "Recordings"}>
                  {recordings.map((recording) => (
                    <Row key={recording.id} recording={recording} />
                  ))}
                </ul>
                <div class="stack wide">
                  <Seeing recordings={recordings} />
                  <Limits recordings={recordings} />
                </div>
              </div>
            )}
          </div>
        );
      }}
    </LoadedFace>
  );
}
