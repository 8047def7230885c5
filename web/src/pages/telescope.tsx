// At the telescope: one step at a time, for a cold hand and a tired eye. The clip just closed brings its own step up.
import { useEffect, useRef, useState } from "preact/hooks";
import * as api from "../api";
import { on } from "../events";
import { use_load } from "../load";
import { LoadedFace } from "../parts/faces";
import { go } from "../route";
import { StepCard } from "../telescope/step_card";
import { use_awake } from "../wake";
import type { Step, StepName } from "../wire";

// What a clip is about most, when it says something of several steps.
const by_weight: readonly StepName[] = ["collimate", "disperse", "focus", "cool", "record", "expose", "find", "train"];

// The step to show after a clip: the one in hand when the clip speaks of it; else one that asks for a turn; else the one
// that the clip is about most. Before any clip, the first.
function step_for(steps: readonly Step[], in_hand: string): Step | undefined {
  const newest = steps.reduce((utc, { last }) => (last && last.utc > utc ? last.utc : utc), "");
  const spoken_of = steps.filter(({ last }) => last && last.utc === newest);
  const weighed = by_weight.flatMap((name) => spoken_of.filter(({ step }) => step === name));
  return (
    spoken_of.find(({ step }) => step === in_hand) ??
    weighed.find(({ advice }) => advice.some(({ turn }) => turn !== 0)) ??
    weighed[0] ??
    steps[0]
  );
}

// What became of the clip that is just arriving. Its reading takes the card back to what was measured; those of earlier
// clips, read after the fact, disturb nobody.
function use_arrival(): string {
  const [words, set_words] = useState("");
  const arriving = useRef("");
  useEffect(() => {
    const ends = [
      on("clip", ({ id, name }) => {
        arriving.current = id;
        set_words(`${name}: reading it …`);
      }),
      on("reading", ({ recording, id, name, error }) => {
        if ((recording?.id ?? id) !== arriving.current) return;
        set_words(
          error ? `${name ?? "A clip"} cannot be used: ${error.what}. ${error.to_do}.` : `${recording?.name ?? ""}: read.`,
        );
        if (!error) go("telescope");
      }),
    ];
    return () => ends.forEach((end) => end());
  }, []);
  return words;
}

export function Telescope({ rest }: { rest: string }) {
  use_awake();
  const loaded = use_load(api.steps, "steps", ["reading", "log"]);
  const arrival = use_arrival();
  const in_hand = useRef(rest);
  if (rest) in_hand.current = rest;
  return (
    <LoadedFace of={loaded} what="Reading tonight's clips">
      {({ steps }) => {
        const step = steps.find((one) => one.step === rest) ?? step_for(steps, in_hand.current);
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
