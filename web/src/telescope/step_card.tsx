// One step of setting up: the one thing to do now, or to leave alone, or the clip to record.
import { useState } from "preact/hooks";
import { lines_of, type Advice, type Reading, type Step, type StepName } from "../wire";
import { capital, clock, figure, said, with_error } from "../words";
import { amount_of, in_words, name_of } from "./amount";
import { is_done, note_done } from "./done_turns";
import { ControlPicture } from "./control_picture";
import { use_screws } from "./learned_screws";
import { Trend } from "./trend";
import { TurnIt } from "./turn_it";

// What to record when a step has no reading yet.
const first_clip: Record<StepName, string> = {
  cool: "Record 20 s of a bright star well out of focus.",
  collimate: "Put a bright star in the middle, well out of focus, and record 20 s.",
  train: "Add the part, then record 10 s of the planet.",
  find: "Record 5 s of the whole sensor, even when it looks empty.",
  disperse: "Record 5 s of the planet, in focus as well as you can.",
  focus: "Record 5 s of the planet at each of several places of the knob.",
  expose: "Record 5 s of the planet as you mean to record the run.",
  record: "Record a run. It is judged when it closes.",
};

// The steps at which the hand turns something.
const hand_steps: ReadonlySet<StepName> = new Set(["collimate", "disperse", "focus"]);

function reading_words({ value, sigma, unit }: Reading): string {
  return value === undefined ? "" : `${with_error(value, sigma)} ${unit ?? ""}`;
}

function How({ advice }: { advice: Advice }) {
  const parts = [`give or take ${figure(advice.sigma, 1)} ${advice.unit}`];
  if (advice.test) parts.push("a test, to learn how it answers");
  else if (advice.gain > 0)
    parts.push(`half-arcsecond detail gains ${with_error(100 * advice.gain, 100 * advice.gain_sigma)} % of contrast`);
  return <p>{capital(parts.join("; "))}.</p>;
}

function Todo({ advice, done }: { advice: Advice; done: (control: string, words: string) => void }) {
  const amount = amount_of(advice);
  const turnable = advice.turn !== 0;
  const screws = use_screws();
  return (
    <>
      <div class="todo">
        {turnable && <ControlPicture amount={amount} screws={screws} />}
        <div class="stack">
          <p class={turnable ? "bigwords" : "hugewords"}>
            {turnable ? `${capital(name_of(advice.control))}: ${in_words(amount)}` : "Leave it alone"}
          </p>
          {advice.words && <p>{said(advice.words)}</p>}
          {turnable && <How advice={advice} />}
        </div>
      </div>
      {turnable && <TurnIt advised={amount} done={done} />}
    </>
  );
}

// After the hand has done what was advised: the next clip will tell.
function AllTurned({ words }: { words: string }) {
  return (
    <div class="stack" role="status">
      <p class="hugewords">Now the next clip</p>
      {words && <p>{said(words)}</p>}
    </div>
  );
}

export function StepCard({ step, done }: { step: Step; done: () => void }) {
  const [shown, set_shown] = useState("");
  const [noted, set_noted] = useState("");
  const { last } = step;
  const reading = last?.utc ?? "";
  const open = step.advice.filter(({ control }) => !is_done(reading, control));
  const advice = open.find(({ control }) => control === shown) ?? open[0];
  const others = open.filter((one) => one !== advice);
  const turned = (control: string, words: string) => {
    note_done(reading, control);
    set_noted(words);
    done();
  };
  return (
    <article class="stack" aria-label={step.title}>
      {advice && <Todo key={advice.control} advice={advice} done={turned} />}
      {!advice && step.advice.length > 0 && <AllTurned words={noted} />}
      {step.advice.length === 0 && last && <p class="bigwords">{said(lines_of(last.words).join(" ") || reading_words(last))}</p>}
      {step.advice.length === 0 && last && hand_steps.has(step.step) && <p>Nothing to turn follows from this clip.</p>}
      {step.advice.length === 0 && !last && <p class="bigwords">{first_clip[step.step]}</p>}
      {others.length > 0 && (
        <section class="stack">
          <h2>Then</h2>
          {others.map((one) => (
            <button key={one.control} onClick={() => set_shown(one.control)}>
              {capital(name_of(one.control))}
              {one.turn ? `: ${in_words(amount_of(one))}` : ": leave it alone"}
            </button>
          ))}
        </section>
      )}
      {last && (
        <section class="stack">
          {step.advice.length > 0 && lines_of(last.words).map((words) => <h2 key={words}>{said(words)}</h2>)}
          <p class="quiet">Read at {clock(last.utc)} UT.</p>
          {last.unit && <Trend points={step.trend} unit={last.unit} />}
        </section>
      )}
    </article>
  );
}
