// Tonight: what to do when, and the hours it follows from.
import { useState } from "preact/hooks";
import * as api from "../api";
import { use_load } from "../load";
import { Choice } from "../parts/choice";
import { LoadedFace, Nothing } from "../parts/faces";
import { use_now } from "../parts/top";
import { at, hours_of, nearest, sky_of } from "../tonight/hours";
import { HourStrip } from "../tonight/hour_strip";
import { Moment } from "../tonight/moment";
import type { Plan } from "../wire";
import { clock, day, figure, said, span } from "../words";

const day_ms = 86_400_000;
const step_ms = 600_000;

function Cautions({ plan }: { plan: Plan }) {
  if (plan.cautions.length === 0) return null;
  return (
    <section aria-label="Cautions">
      {plan.cautions.map((words) => (
        <p class="caution" key={words}>
          {words}
        </p>
      ))}
    </section>
  );
}

function DoList({ plan, now }: { plan: Plan; now: number }) {
  const next = plan.tasks.find(({ utc }) => at(utc) >= now);
  if (plan.tasks.length === 0) return null;
  return (
    <section class="stack">
      <h2>Do this</h2>
      <ol class="dolist">
        {plan.tasks.map((task) => (
          <li key={task.utc + task.words} class={task === next ? "next" : at(task.utc) < now ? "past" : ""}>
            <time dateTime={task.utc}>{clock(task.utc)}</time>
            <span>{said(task.words)}</span>
          </li>
        ))}
      </ol>
    </section>
  );
}

function Events({ plan, now }: { plan: Plan; now: number }) {
  const { begins, ends } = hours_of(plan);
  const shown = plan.events.filter(({ utc }) => at(utc) >= begins && at(utc) <= ends);
  return (
    <section class="stack">
      <h2>What happens</h2>
      <ol class="dolist">
        {shown.map(({ utc, words }) => (
          <li key={utc + words} class={at(utc) < now ? "past" : ""}>
            <time dateTime={utc}>{clock(utc)}</time>
            <span>{said(words)}</span>
          </li>
        ))}
      </ol>
    </section>
  );
}

// The next thing that the hand does, in big words.
function Next({ plan, now }: { plan: Plan; now: number }) {
  const next = plan.tasks.find(({ utc }) => at(utc) >= now);
  if (!next) return null;
  return (
    <section class="sheet stack" aria-label="Next">
      <p class="bigwords">
        <span class="number">{clock(next.utc)}</span> {said(next.words)}
      </p>
      <p>Next, in {span((at(next.utc) - now) / 1000)}.</p>
    </section>
  );
}

// The night's first sentence: what is best, and when.
function best_words(plan: Plan): string {
  const best = plan.targets.find((one) => one.windows.length > 0);
  const window = best?.windows[0];
  if (!best || !window) return "Nothing can be recorded this night.";
  return `${best.target} is best at ${clock(window.best)}`;
}

function Night({ plan }: { plan: Plan }) {
  const now = use_now().getTime();
  const hours = hours_of(plan);
  const shown = plan.targets.filter((one) => one.windows.length > 0);
  const [name, set_name] = useState<string>();
  const [moved, set_moved] = useState<number>();
  const target = shown.find((one) => one.target === name) ?? shown[0];
  const window = target?.windows[0];
  const usual = window ? at(window.best) : (hours.begins + hours.ends) / 2;
  const cursor = moved ?? usual;
  const sun = nearest(plan.strip, now);
  const tonight = now >= hours.begins - day_ms / 2 && now <= hours.ends;
  const sun_up = !tonight || (sun !== undefined && sky_of(sun.sun_altitude_deg) === "day");
  return (
    <div class="stack wide">
      {sun_up && <Cautions plan={plan} />}
      {now >= hours.begins && now <= hours.ends && <Next plan={plan} now={now} />}
      <h2>{best_words(plan)}</h2>
      {target ? (
        <section class="stack" aria-label="Hours of the night">
          <Choice
            slide
            label="Body"
            value={target.target}
            options={shown.map((one) => ({ value: one.target, words: one.target }))}
            choose={(value) => {
              set_name(value);
              set_moved(undefined);
            }}
          />
          <HourStrip plan={plan} target={target} cursor={cursor} now={now} />
          <label class="field under-strip">
            {target.target} at {clock(new Date(cursor))} UT
            <input
              type="range"
              min={hours.begins}
              max={hours.ends}
              step={step_ms}
              value={cursor}
              aria-valuetext={clock(new Date(cursor)) + " UT"}
              onInput={(event) => set_moved(Number(event.currentTarget.value))}
            />
          </label>
          <Moment plan={plan} target={target} cursor={cursor} />
          <p>
            {target.target} is {figure(target.diameter_arcsec)}″ across
            {window?.longest_run_s !== undefined && `; a run may last ${span(window.longest_run_s)}`}
            {window && `. ${said(window.reason)}`}
            {window?.over_warm && "; over a warm roof, whose air trembles"}.
          </p>
        </section>
      ) : (
        <Nothing title="No body stands high enough in the dark">
          <ul>
            {plan.targets.map((one) => (
              <li key={one.target}>
                {one.target}: {one.none_because ?? "no window"}
              </li>
            ))}
          </ul>
        </Nothing>
      )}
      <div class="halves">
        <DoList plan={plan} now={now} />
        <section class="stack">
          <h2>Tube and dew</h2>
          {plan.rig?.cooling && <p>{said(plan.rig.cooling.words)}.</p>}
          {plan.rig?.dew && <p>{said(plan.rig.dew.words)}.</p>}
          {plan.rig?.air.assumed && (
            <p class="quiet">
              Guessed air: {figure(plan.rig.air.evening_degc)} °C in the evening, falling {figure(plan.rig.air.fall_k_per_h)} K an
              hour, humidity {Math.round(100 * plan.rig.air.humidity)} %.
            </p>
          )}
          {!plan.rig && <p>Without a rig nothing can be said of cooling and dew.</p>}
        </section>
        <Events plan={plan} now={now} />
        {plan.targets.some((one) => one.windows.length === 0) && (
          <section class="stack">
            <h2>Not tonight</h2>
            <ul>
              {plan.targets
                .filter((one) => one.windows.length === 0)
                .map((one) => (
                  <li key={one.target}>
                    {one.target}: {one.none_because ?? "no window"}
                  </li>
                ))}
            </ul>
          </section>
        )}
      </div>
      {!sun_up && <Cautions plan={plan} />}
    </div>
  );
}

// The date of the evening that a click leads to.
function shifted(date: string, days: number): string {
  return new Date(Date.parse(date + "T12:00:00Z") + days * day_ms).toISOString().slice(0, 10);
}

export function Tonight() {
  const [date, set_date] = useState<string>();
  const plan = use_load(() => api.tonight(date), date ?? "", ["log"]);
  const shown = plan.value?.date ?? date;
  return (
    <div class="stack">
      <h1>{date ? "The night" : "Tonight"}</h1>
      {shown && (
        <div class="stepbar">
          <button aria-label="The night before" onClick={() => set_date(shifted(shown, -1))}>
            ‹
          </button>
          <span>
            {day(shown)}
            {plan.value && !plan.value.site.name.includes("/") && <span class="quiet"> · {plan.value.site.name}</span>}
          </span>
          <button aria-label="The night after" onClick={() => set_date(shifted(shown, 1))}>
            ›
          </button>
        </div>
      )}
      <LoadedFace of={plan} what="Working out the night">
        {(value) => <Night plan={value} key={value.date} />}
      </LoadedFace>
    </div>
  );
}
