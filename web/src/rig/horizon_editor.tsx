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
  draw: (horizon: Obstacle[]) => void;
}

function Panel({ horizon, facing, brush, warm, draw }: PanelProps) {
  const [box, width] = use_width<HTMLDivElement>();
  const last = useRef<number | undefined>(undefined);
  const left = facing - shown_deg / 2;
  const x_of = (azimuth: number) => ((azimuth - left) / shown_deg) * width;
  const y_of = (altitude: number) => height * (1 - altitude / highest_deg);
  const trace = (event: PointerEvent, begins: boolean) => {
    const frame = (event.currentTarget as SVGElement).getBoundingClientRect();
    const azimuth = left + ((event.clientX - frame.left) / frame.width) * shown_deg;
    const altitude = brush === "open" ? 0 : Math.round(highest_deg * (1 - (event.clientY - frame.top) / frame.height));
    const from = begins ? azimuth : (last.current ?? azimuth);
    last.current = azimuth;
    draw(
      drawn(horizon, from, azimuth, {
        altitude: Math.min(highest_deg, Math.max(0, altitude)),
        kind: brush,
        warm: warm && brush === "roof",
      }),
    );
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
        style={{ touchAction: "none", overflow: "hidden" }}
        role="img"
        aria-label="The horizon. Draw along the tops with a finger, or type it below."
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          trace(event, true);
        }}
        onPointerMove={(event) => event.buttons > 0 && trace(event, false)}
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
    </div>
  );
}

function Editor({ file, kept }: { file: OwnersFile; kept: () => void }) {
  const [horizon, set_horizon] = useState(() => from_csv(file.text));
  const [changed, set_changed] = useState(false);
  const [facing, set_facing] = useState<number>(180);
  const [brush, set_brush] = useState<Kind>("roof");
  const [warm, set_warm] = useState(false);
  const doing = use_doing();
  const save = () =>
    doing.run(async () => {
      await api.write_file("horizon", to_csv(horizon));
      set_changed(false);
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
        draw={(next) => {
          set_horizon(next);
          set_changed(true);
        }}
      />
      <div class="row">
        <button class="main" disabled={!changed || doing.busy} onClick={save}>
          Keep
        </button>
        <button
          disabled={!changed}
          onClick={() => {
            set_horizon(from_csv(file.text));
            set_changed(false);
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
