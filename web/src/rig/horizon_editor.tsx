// The horizon drawn with a finger, a quarter of the sky at a time, or typed.
import { useRef, useState } from "preact/hooks";
import * as api from "../api";
import { use_doing, use_load } from "../load";
import { Choice } from "../parts/choice";
import { DoingFace } from "../parts/doing";
import { LoadedFace } from "../parts/faces";
import { use_width } from "../parts/width";
import type { OwnersFile } from "../wire";
import { FileEditor } from "./file_editor";
import { count, drawn, from_csv, highest_deg, step_deg, to_csv, type Kind, type Obstacle } from "./horizon";

const height = 260;
const shown_deg = 100;

const directions = [
  { value: 0, words: "North" },
  { value: 90, words: "East" },
  { value: 180, words: "South" },
  { value: 270, words: "West" },
] as const;

const kinds = [
  { value: "roof", words: "Roof" },
  { value: "tree", words: "Tree" },
  { value: "hill", words: "Hill" },
  { value: "open", words: "Nothing" },
] as const;

interface PanelProps {
  horizon: readonly Obstacle[];
  facing: number;
  brush: Kind;
  warm: boolean;
  begin: () => void; // a stroke, which is undone as one
  draw: (horizon: Obstacle[]) => void;
  face: (facing: number) => void;
}

function Panel({ horizon, facing, brush, warm, begin, draw, face }: PanelProps) {
  const [box, width] = use_width<HTMLDivElement>();
  const last = useRef<number | undefined>(undefined);
  const [mark, set_mark] = useState<number | undefined>(undefined); // the azimuth that the keys are at
  const left = facing - shown_deg / 2;
  const x_of = (azimuth: number) => ((azimuth - left) / shown_deg) * width;
  const y_of = (altitude: number) => height * (1 - altitude / highest_deg);
  const trace = (event: PointerEvent, begins: boolean) => {
    const frame = (event.currentTarget as SVGElement).getBoundingClientRect();
    const azimuth = left + ((event.clientX - frame.left) / frame.width) * shown_deg;
    const altitude = Math.round(highest_deg * (1 - (event.clientY - frame.top) / height));
    const from = begins ? azimuth : (last.current ?? azimuth);
    last.current = azimuth;
    if (begins) begin();
    put(from, azimuth, altitude);
  };
  const put = (from: number, to: number, altitude: number) =>
    draw(
      drawn(horizon, from, to, {
        altitude: brush === "open" ? 0 : Math.min(highest_deg, Math.max(0, altitude)),
        kind: brush,
        warm: warm && brush === "roof",
      }),
    );
  const type = (event: KeyboardEvent) => {
    const at = mark ?? facing;
    const across = { ArrowLeft: -step_deg, ArrowRight: step_deg }[event.key];
    const up = { ArrowUp: 1, ArrowDown: -1, PageUp: 5, PageDown: -5 }[event.key];
    if (across === undefined && up === undefined) return;
    event.preventDefault();
    if (across !== undefined) {
      const to = (at + across + 360) % 360;
      set_mark(to);
      const beside = ((to - facing + 540) % 360) - 180;
      if (Math.abs(beside) > 45) face((facing + Math.sign(beside) * 90 + 360) % 360);
      return;
    }
    set_mark(at);
    begin();
    put(at, at, Math.round(of(at / step_deg).altitude) + (up ?? 0));
  };
  const first = Math.floor(left / step_deg);
  const indices = Array.from({ length: shown_deg / step_deg + 2 }, (_, i) => first + i);
  const of = (i: number) => horizon[((i % count) + count) % count] ?? { altitude: 0, kind: "open" as const, warm: false };
  const outline = indices.map((i) => `L${x_of(i * step_deg).toFixed(1)} ${y_of(of(i).altitude).toFixed(1)}`).join("");
  return (
    <div ref={box}>
      <svg
        class="drawing"
        width={width}
        height={height + 24}
        viewBox={`0 0 ${width} ${height + 24}`}
        style={{ touchAction: "none", userSelect: "none", overflow: "hidden" }}
        tabIndex={0}
        role="application"
        aria-label="The horizon. Draw along the tops with a finger. With keys: left and right go round, up and down raise and lower."
        onKeyDown={type}
        onFocus={() => set_mark((at) => at ?? facing)}
        onBlur={() => set_mark(undefined)}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          trace(event, true);
        }}
        onPointerMove={(event) => last.current !== undefined && event.buttons > 0 && trace(event, false)}
        onPointerUp={() => (last.current = undefined)}
        onPointerCancel={() => (last.current = undefined)}
      >
        <rect class="dark" width={width} height={height} />
        {[15, 30, 45].map((altitude) => (
          <g key={altitude}>
            <path class="thin" d={`M0 ${y_of(altitude)}H${width}`} />
            <text x={4} y={y_of(altitude) - 4} class="on-sky">
              {altitude}°
            </text>
          </g>
        ))}
        <path class="land" d={`M${x_of(first * step_deg)} ${height}${outline}V${height}Z`} />
        <path class="line" d={"M" + outline.slice(1)} />
        {mark !== undefined && (
          <path class="dashed" d={`M${x_of(nearest(mark, facing))} 0V${height}`} />
        )}
        {indices.map(
          (i) => of(i).warm && <circle key={i} class="solid" cx={x_of(i * step_deg)} cy={y_of(of(i).altitude) - 8} r={4} />,
        )}
        {indices
          .filter((i) => (i * step_deg) % 15 === 0)
          .map((i) => (
            <text key={i} class="middle" x={x_of(i * step_deg)} y={height + 18}>
              {(((i * step_deg) % 360) + 360) % 360}
            </text>
          ))}
      </svg>
      <p class="quiet number" aria-live="polite" style={{ marginTop: "12px" }}>
        {mark === undefined ? "" : `At ${mark}°: ${words_of(of(mark / step_deg))}`}
      </p>
    </div>
  );
}

// The azimuth in the turn that is nearest to where one faces.
function nearest(azimuth: number, facing: number): number {
  return facing + ((((azimuth - facing) % 360) + 540) % 360) - 180;
}

function words_of({ altitude, kind, warm }: Obstacle): string {
  return kind === "open" ? "nothing" : `${warm ? "warm " : ""}${kind}, ${Math.round(altitude)}° high`;
}

function Editor({ file, kept }: { file: OwnersFile; kept: () => void }) {
  const [horizon, set_horizon] = useState(() => from_csv(file.text));
  const [before, set_before] = useState<Obstacle[][]>([]); // each stroke
  const [facing, set_facing] = useState<number>(180);
  const [brush, set_brush] = useState<Kind>("roof");
  const [warm, set_warm] = useState(false);
  const doing = use_doing();
  const save = () =>
    doing.run(async () => {
      await api.write_file("horizon", to_csv(horizon));
      set_before([]);
      kept();
      return "Kept. The old file stays beside the new one.";
    });
  return (
    <div class="stack">
      <p>Face one way, choose what stands there, and draw along its top.</p>
      <Choice label="Facing" value={facing} options={directions} choose={set_facing} />
      <Choice label="What stands there" value={brush} options={kinds} choose={set_brush} />
      {brush === "roof" && (
        <button aria-pressed={warm} onClick={() => set_warm(!warm)}>
          Warm: a heated house
        </button>
      )}
      <Panel
        horizon={horizon}
        facing={facing}
        brush={brush}
        warm={warm}
        begin={() => set_before([...before, horizon])}
        draw={set_horizon}
        face={set_facing}
      />
      <div class="row">
        <button class="main" disabled={before.length === 0 || doing.busy} onClick={save}>
          Keep
        </button>
        <button
          disabled={before.length === 0}
          onClick={() => {
            set_horizon(before[before.length - 1] ?? horizon);
            set_before(before.slice(0, -1));
          }}
        >
          Undo
        </button>
      </div>
      <DoingFace of={doing} />
    </div>
  );
}

export function HorizonEditor() {
  const file = use_load(() => api.read_file("horizon"), "horizon", ["log"]);
  const [typing, set_typing] = useState(false);
  return (
    <div class="stack">
      {!typing && (
        <LoadedFace of={file} what="Reading the horizon">
          {(value) => <Editor file={value} kept={file.again} />}
        </LoadedFace>
      )}
      {typing && <FileEditor name="horizon" title="horizon.csv: azimuth, altitude, kind, warm" hint="150,12,roof,yes" />}
      <div>
        <button aria-pressed={typing} onClick={() => set_typing(!typing)}>
          {typing ? "Draw it" : "Type it"}
        </button>
      </div>
    </div>
  );
}
