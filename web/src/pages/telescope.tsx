// At the telescope: one step at a time, for a cold hand and a tired eye. The clip just closed brings its own step up.
import { useEffect, useState } from "preact/hooks";
import * as api from "../api";
import { on } from "../events";
import { use_load } from "../load";
import { LoadedFace } from "../parts/faces";
import { go } from "../route";
import { StepCard } from "../telescope/step_card";
import { use_awake } from "../wake";
import type { Step } from "../wire";

// The step with the newest reading; before any, the first.
function newest(steps: readonly Step[]): Step | undefined {
  let best = steps[0];
  for (const step of steps) {
    if (step.last && (!best?.last || step.last.utc > best.last.utc)) best = step;
  }
  return best;
}

// What became of the clip that is just arriving.
function use_arrival(): string {
  const [words, set_words] = useState("");
  useEffect(() => {
    const ends = [
      on("clip", ({ name }) => set_words(`${name}: reading it …`)),
      on("reading", ({ recording, name, error }) =>
        set_words(
          error ? `${name ?? "A clip"} cannot be used: ${error.what}. ${error.to_do}.` : `${recording?.name ?? ""}: read.`,
        ),
      ),
    ];
    return () => ends.forEach((end) => end());
  }, []);
  return words;
}

export function Telescope({ rest }: { rest: string }) {
  use_awake();
  const loaded = use_load(api.steps, "steps", ["reading", "log"]);
  const arrival = use_arrival();
  // A new reading takes the card back to what was just measured.
  useEffect(() => on("reading", ({ error }) => !error && go("telescope")), []);
  return (
    <LoadedFace of={loaded} what="Reading tonight's clips">
      {({ steps }) => {
        const step = steps.find((one) => one.step === rest) ?? newest(steps);
        if (!step) return null;
        const index = steps.indexOf(step);
        const before = steps[index - 1];
        const after = steps[index + 1];
        return (
          <div class="stack">
            <div class="stepbar">
              <button aria-label="The step before" disabled={!before} onClick={() => before && go("telescope", before.step)}>
                ‹
              </button>
              <div>
                <h1>{step.title}</h1>
                <p class="quiet">
                  step {index + 1} of {steps.length}
                </p>
              </div>
              <button aria-label="The next step" disabled={!after} onClick={() => after && go("telescope", after.step)}>
                ›
              </button>
            </div>
            <p role="status" class="arrival">
              {arrival}
            </p>
            <StepCard key={step.step} step={step} done={loaded.again} />
          </div>
        );
      }}
    </LoadedFace>
  );
}
