// What a change of the train does to the blur at the target, and what limits then.
import * as api from "../api";
import { use_load } from "../load";
import { Waiting } from "../parts/faces";
import type { BudgetTable } from "../wire";
import { capital, percent, with_error } from "../words";

interface Trial {
  add: string[];
  remove: string[];
}

function Blur({ title, table }: { title: string; table: BudgetTable }) {
  return (
    <p>
      {title}: a blur of {with_error(table.fwhm_arcsec, table.fwhm_sigma_arcsec)}″; {percent(table.half_arc_contrast)} of
      half-arcsecond contrast is left.
    </p>
  );
}

export function TrainBudget({ target, at, trial }: { target: string; at: string; trial: Trial }) {
  const changed = trial.add.length + trial.remove.length > 0;
  const now = use_load(() => api.budget({ target, at }), "now" + target + at, ["log"]);
  const tried = use_load(() => api.budget({ target, at, ...trial }), JSON.stringify([target, at, trial]), ["log"]);
  const before = now.value?.predicted;
  const then = tried.value?.predicted;
  if (tried.fault)
    return (
      <p>
        What is left of {target} cannot be said: {tried.fault.what}.
      </p>
    );
  if (!before || !then) return <Waiting what="Adding up what blurs" />;
  return (
    <section class="stack">
      <h2>What it leaves of {target}</h2>
      {changed && <Blur title="As it stands" table={before} />}
      <Blur title={changed ? "With the change" : "As it stands"} table={then} />
      <p>Next to mend: {capital(then.next)}.</p>
    </section>
  );
}
