// A value that comes from the server: waiting for it, its fault, and reading it again when events say so.
import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { Fault } from "./api";
import { on, type Events } from "./events";

export type Loaded<T> = { value?: T; fault?: Fault; again: () => void };

function as_fault(thrown: unknown): Fault {
  if (thrown instanceof Fault) return thrown;
  return new Fault(0, thrown instanceof Error ? thrown.message : String(thrown), "", "load the page again");
}

interface State<T> {
  key: string;
  value?: T;
  fault?: Fault;
}

// While the server is away, what it said last stays; the frame says that it is away.
function failed<T>(old: State<T>, key: string, fault: Fault): State<T> {
  return fault.status === 0 && old.key === key && old.value !== undefined ? old : { key, fault };
}

// Asks anew when `key` changes and when one of `events` arrives; the old value stays in sight until the new is there.
export function use_load<T>(read: () => Promise<T>, key: string, events: readonly (keyof Events)[] = []): Loaded<T> {
  const [state, set_state] = useState<State<T>>({ key });
  const [round, set_round] = useState(0);
  const again = useCallback(() => set_round((n) => n + 1), []);
  const latest = useRef(read);
  latest.current = read;

  useEffect(() => {
    let wanted = true;
    latest.current().then(
      (value) => wanted && set_state({ key, value }),
      (thrown) => wanted && set_state((old) => failed(old, key, as_fault(thrown))),
    );
    return () => {
      wanted = false;
    };
  }, [key, round]);

  useEffect(() => {
    const ends = events.map((name) => on(name, again));
    ends.push(on("hello", (data) => data.fresh !== false && again()));
    return () => ends.forEach((end) => end());
  }, [events.join()]);

  return state.key === key ? { ...state, again } : { again };
}

// Something asked of the server by the hand: what it is doing, and what came of it.
export interface Doing {
  busy: boolean;
  said?: string;
  fault?: Fault;
  run: (act: () => Promise<string | void>) => void;
}

export function use_doing(): Doing {
  const [state, set_state] = useState<{ busy: boolean; said?: string; fault?: Fault }>({ busy: false });
  const run = (act: () => Promise<string | void>) => {
    set_state({ busy: true });
    act().then(
      (said) => set_state(said ? { busy: false, said } : { busy: false }),
      (thrown) => set_state({ busy: false, fault: as_fault(thrown) }),
    );
  };
  return { ...state, run };
}
