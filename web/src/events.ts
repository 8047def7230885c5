// The server's one stream of events, shared by everything on the page.
//
// The browser reconnects by itself and says the last id that it has seen, so what was missed is replayed. When it has
// given up (the server was away for long, or refused), a new stream is opened here, with growing pauses.
import type { Advice, Job, Recording } from "./wire";

export interface Events {
  hello: { version: string; fresh?: boolean; now_utc: string };
  clip: { id: string; name: string };
  reading: { recording?: Recording; advice?: Advice[]; id?: string; name?: string; error?: { what: string; to_do: string } };
  job: Job;
  log: { what: string };
  link: { up: boolean }; // not the server's: whether the stream stands
}

type Listener<K extends keyof Events> = (data: Events[K]) => void;
type Listeners = { [K in keyof Events]: Set<Listener<K>> };

const listeners: Listeners = {
  hello: new Set(),
  clip: new Set(),
  reading: new Set(),
  job: new Set(),
  log: new Set(),
  link: new Set(),
};

export function on<K extends keyof Events>(name: K, listener: Listener<K>): () => void {
  const all = listeners[name] as Set<Listener<K>>;
  all.add(listener);
  return () => all.delete(listener);
}

function tell<K extends keyof Events>(name: K, data: Events[K]): void {
  for (const listener of listeners[name] as Set<Listener<K>>) listener(data);
}

const from_server = ["hello", "clip", "reading", "job", "log"] as const;
const shortest_pause_ms = 500;
const longest_pause_ms = 8000;

let source: EventSource | undefined;
let pause_ms = shortest_pause_ms;

// A browser keeps six connections to a server, so that ten tabs with a stream each would wait for each other for ever.
// One tab holds the lock and the stream, and passes on what it hears; when it goes, another takes over, whose `hello`
// makes all read anew. Where a browser has no locks (a phone over the network), each tab has its own.
interface Passed<K extends keyof Events = keyof Events> {
  name: K;
  data: Events[K];
}

const among_tabs = "locks" in navigator && "BroadcastChannel" in globalThis;
const tabs = among_tabs ? new BroadcastChannel("halfarc.events") : undefined;
if (tabs) tabs.onmessage = ({ data }: MessageEvent<Passed>) => tell(data.name, data.data as never);

function heard<K extends keyof Events>(name: K, data: Events[K]): void {
  tell(name, data);
  tabs?.postMessage({ name, data } satisfies Passed<K>);
}

let asked = false;

export function open_stream(): void {
  if (!among_tabs) return listen();
  if (asked) return;
  asked = true;
  // Held as long as the tab lives.
  void navigator.locks.request("halfarc.events", () => {
    listen();
    return new Promise<never>(() => undefined);
  });
}

function listen(): void {
  source?.close();
  const stream = new EventSource("/api/events");
  source = stream;
  stream.onopen = () => {
    pause_ms = shortest_pause_ms;
    heard("link", { up: true });
  };
  stream.onerror = () => {
    heard("link", { up: false });
    if (stream.readyState !== EventSource.CLOSED || stream !== source) return;
    setTimeout(listen, pause_ms);
    pause_ms = Math.min(longest_pause_ms, pause_ms * 2);
  };
  for (const name of from_server) {
    stream.addEventListener(name, (event: MessageEvent<string>) => {
      heard(name, JSON.parse(event.data) as Events[typeof name]);
    });
  }
}
