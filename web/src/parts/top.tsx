// The top line: the time in UT, as every figure here counts, and the light.
import { useEffect, useState } from "preact/hooks";
import type { Mode } from "../mode";
import { clock, own_clock } from "../words";
import { Choice } from "./choice";

const tick_ms = 5000;

export function use_now(): Date {
  const [now, set_now] = useState(() => new Date());
  useEffect(() => {
    const timer = setInterval(() => set_now(new Date()), tick_ms);
    return () => clearInterval(timer);
  }, []);
  return now;
}

const lights = [
  { value: "red", words: "Red, for the dark" },
  { value: "desk", words: "Light, for the desk" },
] as const;

export function Top({ mode, change }: { mode: Mode; change: (mode: Mode) => void }) {
  const now = use_now();
  const [open, set_open] = useState(false);
  return (
    <header class="top">
      {open ? (
        <div class="stack" id="light">
          <Choice label="Light" value={mode.light} options={lights} choose={(light) => change({ ...mode, light })} />
          <label class="field">
            Brightness
            <input
              type="range"
              min={0.15}
              max={1}
              step={0.05}
              value={mode.brightness}
              onInput={(event) => change({ ...mode, brightness: Number(event.currentTarget.value) })}
            />
          </label>
        </div>
      ) : (
        <p class="clock number">
          {clock(now)} UT <small>{own_clock(now)} here</small>
        </p>
      )}
      <button aria-expanded={open} aria-controls="light" onClick={() => set_open(!open)}>
        {open ? "Done" : "Light"}
      </button>
    </header>
  );
}
