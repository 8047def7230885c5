// One recording in absolute units: what it shows, what to do, its picture.
import * as api from "../api";
import { use_load } from "../load";
import { Figures, type NamedFigure } from "../parts/figures";
import { LoadedFace } from "../parts/faces";
import { go } from "../route";
import { lines_of, type Check, type Recording } from "../wire";
import { clock, figure, percent, said, with_error } from "../words";

const picture_px = 640;

function hypot(pair: readonly number[] | undefined): number | undefined {
  return pair && Math.hypot(pair[0] ?? 0, pair[1] ?? 0);
}

// The colours of a clip, apart on the sensor, in arcseconds where the scale is known.
function colours(check: Check): NamedFigure | undefined {
  const { dispersion, scale } = check;
  if (!dispersion) return undefined;
  const red = dispersion.red_minus_green_px;
  const blue = dispersion.blue_minus_green_px;
  const px = Math.hypot((blue[0] ?? 0) - (red[0] ?? 0), (blue[1] ?? 0) - (red[1] ?? 0));
  const per_px = scale?.arcsec_per_px ?? 1;
  return {
    name: "Red to blue",
    value: with_error(px * per_px, dispersion.sigma_px * per_px * Math.SQRT2),
    unit: scale ? "″" : "px",
  };
}

function figures_of(check: Check): NamedFigure[] {
  const all: NamedFigure[] = [];
  const { disc, scale, motion, donut, exposure, sharpness, recording } = check;
  if (disc) {
    const per_px = scale?.arcsec_per_px;
    all.push(
      per_px
        ? { name: "Disc", value: with_error(disc.equatorial_diameter_px * per_px, disc.sigma_px * per_px), unit: "″" }
        : { name: "Disc", value: with_error(disc.equatorial_diameter_px, disc.sigma_px), unit: "px" },
    );
  }
  if (check.seeing) {
    all.push({ name: "Seeing", value: with_error(check.seeing.fwhm_arcsec, check.seeing.sigma), unit: "″" });
  }
  const across = colours(check);
  if (across) all.push(across);
  const wander = hypot(motion?.rms_arcsec) ?? hypot(motion?.rms_px);
  if (wander !== undefined) all.push({ name: "Wanders, rms", value: figure(wander, 2), unit: motion?.rms_arcsec ? "″" : "px" });
  if (donut?.coma_waves)
    all.push({ name: "Coma", value: with_error(hypot(donut.coma_waves) ?? 0, donut.sigma_waves), unit: "waves" });
  if (donut?.plume_waves !== undefined)
    all.push({ name: "Plume", value: with_error(donut.plume_waves, donut.plume_sigma_waves), unit: "waves" });
  if (exposure.peak_fraction !== undefined)
    all.push({ name: "Brightest", value: percent(exposure.peak_fraction), unit: "of full scale" });
  if (sharpness && sharpness.median > 0)
    all.push({
      name: "Best frames",
      value: figure(sharpness.best_5_percent / sharpness.median),
      unit: "times the usual sharpness",
    });
  all.push({
    name: "Frames",
    value: String(recording.frames),
    ...(recording.fps ? { unit: `at ${figure(recording.fps)} a second` } : {}),
  });
  return all;
}

function Detail({ recording, check }: { recording: Recording; check: Check }) {
  const notes = check.recording.notes;
  const run = recording.image !== undefined || check.kind === "planet" || check.kind === "surface";
  return (
    <div class="stack">
      <h1>{recording.name}</h1>
      <p class="quiet">
        {[recording.target, check.kind, check.mid_utc && `${clock(check.mid_utc)} UT`].filter(Boolean).join(" · ")}
      </p>
      {check.words.map((words) => (
        <p class="bigwords" key={words}>
          {said(words)}
        </p>
      ))}
      <div class="halves">
        <figure class="picture fit">
          <img src={api.recording_picture(recording.id, picture_px)} alt={`Mean of the sharper frames of ${recording.name}`} />
        </figure>
        <Figures of={figures_of(check)} />
      </div>
      {notes.length > 0 && (
        <section class="stack">
          <h2>Odd, and survived</h2>
          <ul>
            {notes.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </section>
      )}
      <div class="row">
        {recording.image ? (
          <button class="main" onClick={() => go("image", recording.image)}>
            See its image
          </button>
        ) : (
          run && (
            <button class="main" onClick={() => go("image", "make:" + recording.id)}>
              Make an image of it
            </button>
          )
        )}
        <button onClick={() => go("recordings")}>All recordings</button>
      </div>
    </div>
  );
}

export function CheckView({ recording }: { recording: Recording }) {
  const check = use_load(() => api.recording(recording.id), recording.id);
  return (
    <div class="stack">
      <LoadedFace of={check} what="Reading the recording">
        {(value) => <Detail recording={recording} check={value} />}
      </LoadedFace>
      {check.fault && (
        <>
          {lines_of(recording.words).map((words) => (
            <p key={words}>{words}</p>
          ))}
          <div>
            <button onClick={() => go("recordings")}>All recordings</button>
          </div>
        </>
      )}
    </div>
  );
}
