// A phone that the laptop does not know yet: the code from the terminal, or the QR code that brings it along.
import { useEffect, useState } from "preact/hooks";
import * as api from "../api";
import { use_doing } from "../load";
import { DoingFace } from "../parts/doing";

export function Pair({ code, done }: { code: string; done: () => void }) {
  const [typed, set_typed] = useState(code);
  const doing = use_doing();
  const pair = (with_code: string) =>
    doing.run(async () => {
      await api.pair(with_code.trim());
      history.replaceState(null, "", "#tonight"); // the code does not stay in the address
      dispatchEvent(new HashChangeEvent("hashchange"));
      done();
    });
  useEffect(() => {
    if (code) pair(code);
  }, []);
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        pair(typed);
      }}
    >
      <h1>Join this phone to the laptop</h1>
      <p>The terminal where halfarc runs shows a code. Type it here once.</p>
      <label class="field">
        Code
        <input
          value={typed}
          autocomplete="one-time-code"
          autocapitalize="characters"
          spellcheck={false}
          onInput={(event) => set_typed(event.currentTarget.value)}
        />
      </label>
      <button class="main" disabled={doing.busy || typed.trim() === ""}>
        Join
      </button>
      <DoingFace of={doing} />
    </form>
  );
}
