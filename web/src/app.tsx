// The frame: the six pages in the order of a night, the clock, the light, and what is said when the server is away.
import { useEffect, useState } from "preact/hooks";
import type { FunctionComponent } from "preact";
import * as api from "./api";
import { on, open_stream } from "./events";
import { use_load } from "./load";
import { keep_mode, read_mode, show_mode, type Mode } from "./mode";
import { First } from "./pages/first";
import { ImagePage } from "./pages/image";
import { Logbook } from "./pages/logbook";
import { Pair } from "./pages/pair";
import { Recordings } from "./pages/recordings";
import { Rig } from "./pages/rig";
import { Telescope } from "./pages/telescope";
import { Tonight } from "./pages/tonight";
import { FaultFace, Waiting } from "./parts/faces";
import { LightContext } from "./parts/light";
import { Top } from "./parts/top";
import { use_route } from "./route";
import type { Status } from "./wire";

interface Page {
  name: string;
  short: string;
  long: string;
  show: FunctionComponent<{ rest: string }>;
}

const pages: readonly Page[] = [
  { name: "tonight", short: "Tonight", long: "Tonight", show: Tonight },
  { name: "rig", short: "Rig", long: "Rig and site", show: Rig },
  { name: "telescope", short: "Do now", long: "At the telescope", show: Telescope },
  { name: "recordings", short: "Clips", long: "Recordings", show: Recordings },
  { name: "image", short: "Image", long: "Image", show: ImagePage },
  { name: "logbook", short: "Log", long: "Logbook", show: Logbook },
];

// A filter that keeps brightness and throws green and blue away, for pictures in red light.
function OnlyRed() {
  return (
    <svg class="unseen" aria-hidden="true" width="0" height="0">
      <filter id="only-red" color-interpolation-filters="sRGB">
        <feColorMatrix type="matrix" values="0.30 0.59 0.11 0 0  0 0 0 0 0  0 0 0 0 0  0 0 0 1 0" />
      </filter>
    </svg>
  );
}

function Order({ shown }: { shown: string }) {
  return (
    <nav class="order" aria-label="Pages, in the order of the night">
      {pages.map(({ name, short, long }) => (
        <a key={name} href={"#" + name} {...(name === shown ? { "aria-current": "page" as const } : {})}>
          <span class="short" aria-hidden="true">
            {short}
          </span>
          <span class="long">{long}</span>
          <span class="unseen short-name">{long}</span>
        </a>
      ))}
    </nav>
  );
}

function use_link(): boolean {
  const [up, set_up] = useState(true);
  useEffect(() => on("link", (link) => set_up(link.up)), []);
  return up;
}

export function App() {
  const route = use_route();
  const [mode, set_mode] = useState<Mode>(read_mode);
  const status = use_load(api.status, "status", ["log"]);
  const up = use_link();
  // What was known last stays while the server is away; a server that was started anew may want to pair again.
  const [known, set_known] = useState<Status>();
  useEffect(() => status.value && set_known(status.value), [status.value]);
  useEffect(() => on("link", (link) => void (link.up || status.again())), [status.again]);
  const paired = known?.paired ?? false;
  useEffect(() => show_mode(mode), [mode]);
  useEffect(() => {
    if (paired) open_stream();
  }, [paired]);

  const change = (next: Mode) => {
    keep_mode(next);
    set_mode(next);
  };
  const needs_start = known?.paired && (!known.has_site || !known.has_rig);
  const page = pages.find(({ name }) => name === route.page) ?? pages[0];
  useEffect(() => {
    document.title = `${needs_start ? "Start" : (page?.long ?? "")} · halfarc`;
    scrollTo(0, 0);
  }, [page, needs_start]);

  let shown;
  if (status.fault && !known) shown = <FaultFace fault={status.fault} again={status.again} />;
  else if (!known) shown = <Waiting what="Looking for halfarc" />;
  else if (!known.paired) shown = <Pair done={status.again} code={/^pair=(.*)/.exec(route.page)?.[1] ?? ""} />;
  else if (needs_start && route.page !== "logbook") shown = <First status={known} done={status.again} />;
  else if (page) shown = <page.show rest={route.rest} />;

  return (
    <LightContext.Provider value={mode.light}>
      <OnlyRed />
      <div class="shell">
        <a class="skip" href="#main" onClick={skip_to_main}>
          To the page
        </a>
        {paired && !needs_start && <Order shown={page?.name ?? ""} />}
        <Top mode={mode} change={change} />
        {!up && (
          <p class="lost" role="alert">
            halfarc does not answer. This page joins it again by itself.
          </p>
        )}
        <main id="main" tabIndex={-1}>
          {shown}
        </main>
      </div>
      <div class="dim" aria-hidden="true" />
    </LightContext.Provider>
  );
}

function skip_to_main(event: MouseEvent): void {
  event.preventDefault();
  document.getElementById("main")?.focus();
}
