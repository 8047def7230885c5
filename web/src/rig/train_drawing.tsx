// The train to scale, from the rear port to the sensor, with the light in it. A part is dragged to another place, or
// chosen and moved with the buttons below.
import { useRef, useState } from "preact/hooks";
import { use_width } from "../parts/width";
import type { Train, TrainPart } from "../wire";
import { figure } from "../words";

const left = 44; // room for the end of the telescope
const middle = 84;
const bottom = 204;
const narrowest = 24; // mm, drawn for a part whose opening is not known

interface DrawingProps {
  train: Train;
  chosen: number;
  choose: (index: number) => void;
  move: (from: number, to: number) => void;
}

function half_of(part: TrainPart, scale: number): number {
  const clear = part.kind === "camera" ? Math.max(part.clear_mm ?? 0, 40) : (part.clear_mm ?? narrowest);
  return Math.min(66, 0.5 * (clear + 8) * scale);
}

function Body({ part, x, width, half }: { part: TrainPart; x: number; width: number; half: number }) {
  const y = middle - half;
  const glass = Math.min(width, 6);
  return (
    <>
      <rect class="body" x={x} y={y} width={width} height={2 * half} rx={part.kind === "camera" ? 6 : 0} />
      {part.kind === "amplifier" && <ellipse class="glass" cx={x + 8} cy={middle} rx={5} ry={0.72 * half} />}
      {part.kind === "filter" && (
        <rect class="glass" x={x + width / 2 - glass / 2} y={middle - 0.8 * half} width={glass} height={1.6 * half} />
      )}
      {part.kind === "corrector" && (
        <path
          class="glass"
          d={`M${x + 0.2 * width} ${middle + 0.8 * half}h${0.3 * width}l${-0.12 * width} ${-1.6 * half}h${-0.18 * width}Z
              M${x + 0.55 * width} ${middle - 0.8 * half}h${0.3 * width}l${-0.12 * width} ${1.6 * half}h${-0.18 * width}Z`}
        />
      )}
      {part.kind === "diagonal" && (
        <path class="mark" d={`M${x + 6} ${middle + 0.7 * half}L${x + width - 6} ${middle - 0.7 * half}`} />
      )}
    </>
  );
}

export function TrainDrawing({ train, chosen, choose, move }: DrawingProps) {
  const [box, width] = use_width<HTMLDivElement>();
  const [drag, set_drag] = useState<{ index: number; by: number }>();
  const start = useRef(0);
  const end_mm = Math.max(train.sensor_mm, 1);
  const scale = (width - left - 40) / end_mm;
  const x_of = (mm: number) => left + mm * scale;
  const middles = train.parts.map((part) => x_of(part.start_mm + part.length_mm / 2));

  // The place that a part dropped there takes; the camera stays last.
  const place_of = (index: number, by: number) => {
    const x = (middles[index] ?? 0) + by;
    let place = 0;
    middles.forEach((other, i) => {
      if (i !== index && i < train.parts.length - 1 && other < x) place++;
    });
    return place;
  };
  const drop = () => {
    if (!drag) return;
    const to = place_of(drag.index, drag.by);
    if (Math.abs(drag.by) > 8 && to !== drag.index) move(drag.index, to);
    set_drag(undefined);
  };

  return (
    <div ref={box}>
      <svg
        class="drawing"
        width={width}
        height={bottom}
        viewBox={`0 0 ${width} ${bottom}`}
        role="img"
        aria-label={`The train to scale: ${train.parts.map((part) => `${part.name} ${figure(part.length_mm)} mm`).join(", ")}`}
        style={{ touchAction: "pan-y" }}
        onPointerMove={(event) => drag && set_drag({ ...drag, by: event.clientX - start.current })}
        onPointerUp={drop}
        onPointerCancel={() => set_drag(undefined)}
      >
        <path
          class="body"
          d={`M0 ${middle - 74}H${left - 8}V${middle - 46}H${left}V${middle + 46}H${left - 8}V${middle + 74}H0`}
        />
        <path class="thin" d={`M0 ${middle}H${width}`} />
        {train.parts.map((part, index) => {
          const camera = index === train.parts.length - 1;
          const shift = drag?.index === index ? drag.by : 0;
          const x = x_of(part.start_mm);
          const wide = part.length_mm * scale + (camera ? 30 : 0);
          const half = half_of(part, scale);
          return (
            <g
              key={part.name}
              transform={`translate(${shift} ${shift ? -10 : 0})`}
              style={{ cursor: camera ? "default" : "grab" }}
              onPointerDown={(event) => {
                choose(index);
                if (camera) return;
                start.current = event.clientX;
                set_drag({ index, by: 0 });
              }}
            >
              <Body part={part} x={x} width={wide} half={half} />
              {index === chosen && <path class="thick" d={`M${x} ${middle - half - 6}h${wide}`} />}
              <text class="middle" x={x + wide / 2} y={middle + half + 15}>
                {index + 1}
              </text>
            </g>
          );
        })}
        <Light train={train} x_of={x_of} scale={scale} />
        <path class="mark" d={`M${x_of(train.sensor_mm)} ${middle - 14}v28`} />
        <path class="line" d={`M${left} ${bottom - 22}v-8m0 4H${x_of(end_mm)}m0 -4v8`} />
        <text class="middle" x={(left + x_of(end_mm)) / 2} y={bottom - 4}>
          {figure(train.sensor_mm, 4)} mm from port to sensor
        </text>
      </svg>
    </div>
  );
}

// The light of one star, narrowing to the sensor.
function Light({ train, x_of, scale }: { train: Train; x_of: (mm: number) => number; scale: number }) {
  const edge = (sign: number) =>
    train.parts.flatMap((part) => [
      [x_of(part.start_mm), middle + (sign * part.front_beam_mm * scale) / 2],
      [x_of(part.start_mm + part.length_mm), middle + (sign * part.rear_beam_mm * scale) / 2],
    ]);
  const points = [...edge(-1), ...edge(1).reverse()].map(([x, y]) => `${x?.toFixed(1)},${y?.toFixed(1)}`).join(" ");
  return <polygon class="solid" style={{ opacity: 0.55, pointerEvents: "none" }} points={points} />;
}
