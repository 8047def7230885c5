// "I turned it": one tap when the hand did what was advised; - and + when it did something else.
import { useEffect, useState } from "preact/hooks";
import * as api from "../api";
import { use_doing } from "../load";
import { DoingFace } from "../parts/doing";
import { as_typed, in_words, name_of, stepped, type Amount } from "./amount";

export function TurnIt({ advised, done }: { advised: Amount; done: (control: string, words: string) => void }) {
  const [amount, set_amount] = useState(advised);
  const doing = use_doing();
  useEffect(() => set_amount(advised), [advised.control, advised.value]);
  const note = () =>
    doing.run(async () => {
      const { words } = await api.turned(amount.control, as_typed(amount));
      done(amount.control, words);
    });
  return (
    <div class="foot">
      <div class="stepbar">
        <button aria-label={`Less, ${name_of(amount.control)}`} onClick={() => set_amount(stepped(amount, -1))}>
          −
        </button>
        <strong aria-live="polite">{in_words(amount)}</strong>
        <button aria-label={`More, ${name_of(amount.control)}`} onClick={() => set_amount(stepped(amount, 1))}>
          +
        </button>
      </div>
      <button class="main" disabled={doing.busy || amount.value === 0} onClick={note}>
        {amount.control === "cooling" ? "I waited" : "I turned it"}
      </button>
      <DoingFace of={doing} />
    </div>
  );
}
