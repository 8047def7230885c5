// The train on the bench: move, put in and take out, see what it does, and keep it or put it back.
import { useState } from "preact/hooks";
import * as api from "../api";
import { use_doing, use_load } from "../load";
import { DoingFace } from "../parts/doing";
import { FaultFace, LoadedFace, Waiting } from "../parts/faces";
import type { OwnersFile, Train } from "../wire";
import { capital, clock, figure } from "../words";
import { NewPart } from "./new_part";
import { cut, joined, moved, trial_of, type Part } from "./rig_text";
import { TrainBudget } from "./train_budget";
import { TrainDrawing } from "./train_drawing";
import { TrainFigures } from "./train_figures";

interface Aim {
  target?: string | undefined;
  at?: string | undefined;
}

// What the train is judged by: the best body of the coming night at its best moment, when there is one.
async function best_aim(): Promise<Aim> {
  const plan = await api.tonight();
  const best = plan.targets.find((one) => one.windows.length > 0);
  return { target: best?.target, at: best?.windows[0]?.best };
}

interface BenchProps {
  file: OwnersFile;
  aim: Aim;
  kept: () => void;
}

export function TrainBench({ file, aim, kept }: BenchProps) {
  const text = cut(file.text);
  const [draft, set_draft] = useState<Part[]>(text.parts);
  const [chosen, set_chosen] = useState(0);
  const [adding, set_adding] = useState(false);
  const trial = trial_of(text.parts, draft);
  const changed = trial.add.length + trial.remove.length > 0;
  const now = use_load(() => api.train(aim), "now" + JSON.stringify(aim), ["log"]);
  const tried = use_load(() => api.train({ ...aim, ...trial }), JSON.stringify([aim, trial]), ["log"]);
  const [last, set_last] = useState<Train>();
  if (tried.value && tried.value !== last) set_last(tried.value);
  const doing = use_doing();
  const change = (next: Part[]) => {
    set_draft(next);
    set_adding(false);
  };
  const keep = () =>
    doing.run(async () => {
      await api.write_file("rig", joined({ ...text, parts: draft }));
      kept();
    });
  const shown = tried.value ?? last;
  return (
    <div class="stack">
      {aim.target && aim.at && (
        <p class="quiet">
          Judged by {aim.target} at {clock(aim.at)} UT.
        </p>
      )}
      {tried.fault && <FaultFace fault={tried.fault} />}
      {!shown && !tried.fault && <Waiting what="Working out the train" />}
      {shown && (
        <>
          <TrainDrawing train={shown} chosen={chosen} choose={set_chosen} move={(from, to) => change(moved(draft, from, to))} />
          {changed && tried.value?.change && <Change train={tried.value} />}
        </>
      )}
      {changed && (
        <div class="row">
          <button class="main" disabled={doing.busy || !tried.value} onClick={keep}>
            Keep this train
          </button>
          <button onClick={() => change(text.parts)}>Put it back</button>
        </div>
      )}
      <DoingFace of={doing} />
      <PartList parts={draft} train={shown} chosen={chosen} choose={set_chosen} change={change} />
      {adding ? (
        <NewPart
          taken={draft.map(({ keys }) => keys["name"] ?? "")}
          leave={() => set_adding(false)}
          add={(part) => {
            const place = Math.min(chosen + 1, draft.length);
            change([...draft.slice(0, place), part, ...draft.slice(place)]);
            set_chosen(place);
          }}
        />
      ) : (
        <div>
          <button onClick={() => set_adding(true)}>Put a part in</button>
        </div>
      )}
      {shown && <TrainFigures train={shown} before={changed ? now.value : undefined} />}
      {shown && aim.target && aim.at && <TrainBudget target={aim.target} at={aim.at} trial={trial} />}
      {shown?.cautions.map((words) => (
        <p class="caution" key={words}>
          {words}
        </p>
      ))}
    </div>
  );
}

function Change({ train }: { train: Train }) {
  const change = train.change;
  if (!change) return null;
  return (
    <div class="sheet" role="status">
      <p class="bigwords">{capital(change.words)}</p>
      {!train.in_reach && <p class="caution">The knob does not reach that focus.</p>}
    </div>
  );
}

interface PartListProps {
  parts: readonly Part[];
  train: Train | undefined;
  chosen: number;
  choose: (index: number) => void;
  change: (parts: Part[]) => void;
}

function PartList({ parts, train, chosen, choose, change }: PartListProps) {
  return (
    <ol class="list">
      {parts.map(({ keys }, index) => {
        const solved = train?.parts.find(({ name }) => name === keys["name"]);
        return (
          <li key={keys["name"] ?? index}>
            <button aria-expanded={index === chosen} onClick={() => choose(index)}>
              <strong>
                {index + 1} {keys["name"] ?? keys["kind"]}
              </strong>{" "}
              {keys["length_mm"] && <span class="number">{figure(Number(keys["length_mm"]))} mm</span>}
              {solved?.cuts_axis && <span> · too narrow: cuts the light</span>}
              {solved && !solved.cuts_axis && solved.cuts_field && <span> · darkens the corners</span>}
            </button>
            {index === chosen && (
              <div class="row" style={{ paddingBottom: "12px" }}>
                <button disabled={index === 0} onClick={() => (change(moved(parts, index, index - 1)), choose(index - 1))}>
                  To the telescope
                </button>
                <button
                  disabled={index === parts.length - 1}
                  onClick={() => (change(moved(parts, index, index + 1)), choose(index + 1))}
                >
                  To the camera
                </button>
                <button onClick={() => change(parts.filter((_, i) => i !== index))}>Take out</button>
              </div>
            )}
          </li>
        );
      })}
    </ol>
  );
}

// The figures that need no body come at once; those of the night follow when it is worked out.
export function Bench() {
  const file = use_load(() => api.read_file("rig"), "rig", ["log"]);
  const aim = use_load(best_aim, "aim");
  const [kept, set_kept] = useState(false);
  return (
    <LoadedFace of={file} what="Reading the rig">
      {(value) => (
        <>
          <TrainBench key={value.text} file={value} aim={aim.value ?? {}} kept={() => (set_kept(true), file.again())} />
          <p role="status">{kept && "Kept. The old file stays beside the new one."}</p>
        </>
      )}
    </LoadedFace>
  );
}
