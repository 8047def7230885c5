// What limits tonight: the budget of the best body, measured where recordings say so.
import * as api from "../api";
import { use_load } from "../load";
import { BudgetBars } from "../parts/bars";
import { LoadedFace } from "../parts/faces";
import type { Recording } from "../wire";
import { capital, with_error } from "../words";

interface Aim {
  target: string;
  at?: string | undefined;
  run?: string[];
}

// The newest run of a known body; else the best body of the night at its best moment.
async function aim_of(recordings: readonly Recording[]): Promise<Aim | undefined> {
  const run = recordings.find(({ target, kind }) => target && kind === "planet");
  if (run?.target) return { target: run.target, at: run.mid_utc, run: [run.id] };
  const plan = await api.tonight();
  const best = plan.targets.find((one) => one.windows.length > 0);
  return best && { target: best.target, at: best.windows[0]?.best };
}

export function Limits({ recordings }: { recordings: readonly Recording[] }) {
  const budget = use_load(
    async () => {
      const aim = await aim_of(recordings);
      return aim ? { value: await api.budget(aim) } : {};
    },
    recordings.map(({ id, checked }) => id + String(checked)).join(),
  );
  return (
    <section class="stack">
      <h2>What limits tonight</h2>
      <LoadedFace of={budget} what="Adding up what blurs">
        {({ value }) => {
          if (!value) return <p>No body can be recorded, so nothing limits it.</p>;
          const table = value.measured ?? value.predicted;
          return (
            <>
              <p class="bigwords">{capital(table.next)}</p>
              <p>
                {value.target}: detail reaches the sensor as through a blur of{" "}
                {with_error(table.fwhm_arcsec, table.fwhm_sigma_arcsec)}″.
              </p>
              <BudgetBars predicted={value.predicted} measured={value.measured} />
            </>
          );
        }}
      </LoadedFace>
    </section>
  );
}
