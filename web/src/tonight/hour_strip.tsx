// The hours as one strip: sky, altitudes over the traced horizon, and below them, on the same hours, when each body
// can be recorded, when the tube cools and fogs, and how the levers go.
import type { ComponentChildren } from "preact";
import type { Plan, PlanTarget } from "../wire";
import { figure } from "../words";
import { use_width } from "../parts/width";
import { at, hours_of, nearest, sky_of, whole_hours, type Hours } from "./hours";

const gutter = 74;
const sky_height = 210;
const row_height = 34;
const top = 22;
const bottom = 26;

interface StripProps {
  plan: Plan;
  target: PlanTarget | undefined;
  cursor: number;
  now: number;
}

interface Frame {
  x: (t: number) => number;
  y: (altitude: number) => number;
  hours: Hours;
  width: number;
}

function frame_of(plan: Plan, width: number): Frame {
  const hours = hours_of(plan);
  const scale = (width - gutter - 4) / (hours.ends - hours.begins);
  const clamp = (t: number) => Math.min(hours.ends, Math.max(hours.begins, t));
  return {
    hours,
    width,
    x: (t) => gutter + (clamp(t) - hours.begins) * scale,
    y: (altitude) => top + sky_height * (1 - Math.min(90, Math.max(0, altitude)) / 90),
  };
}

function within<T extends { utc: string }>(strip: readonly T[], { hours }: Frame): T[] {
  return strip.filter(({ utc }) => at(utc) >= hours.begins && at(utc) <= hours.ends);
}

function path(points: readonly (readonly [number, number])[]): string {
  return points.map(([x, y], i) => `${i ? "L" : "M"}${x.toFixed(1)} ${y.toFixed(1)}`).join("");
}

function Sky({ plan, frame }: { plan: Plan; frame: Frame }) {
  const strip = within(plan.strip, frame);
  return (
    <g>
      {strip.map((one, i) => {
        const next = strip[i + 1];
        const from = frame.x(at(one.utc));
        const to = next ? frame.x(at(next.utc)) : frame.x(frame.hours.ends);
        return (
          <rect key={one.utc} class={sky_of(one.sun_altitude_deg)} x={from} y={top} width={to - from + 0.6} height={sky_height} />
        );
      })}
      {[30, 60].map((altitude) => (
        <g key={altitude}>
          <path class="thin" d={`M${gutter} ${frame.y(altitude)}H${frame.width - 4}`} />
          <text class="end" x={gutter - 8} y={frame.y(altitude) + 5}>
            {altitude}°
          </text>
        </g>
      ))}
    </g>
  );
}

function Horizon({ target, frame }: { target: PlanTarget; frame: Frame }) {
  const points = within(target.strip, frame).map(({ utc, obstacle_deg }) => [frame.x(at(utc)), frame.y(obstacle_deg)] as const);
  const first = points[0];
  const last = points[points.length - 1];
  if (!first || !last) return null;
  const floor = frame.y(0);
  return <path class="land" d={`${path(points)}L${last[0]} ${floor + 4}L${first[0]} ${floor + 4}Z`} />;
}

function Curves({ plan, target, frame }: { plan: Plan; target: PlanTarget | undefined; frame: Frame }) {
  const up = <T extends { utc: string }>(strip: readonly T[], altitude: (one: T) => number) =>
    path(
      within(strip, frame)
        .filter((one) => altitude(one) > 0)
        .map((one) => [frame.x(at(one.utc)), frame.y(altitude(one))] as const),
    );
  const usable = target ? within(target.strip, frame).filter((one) => one.usable) : [];
  return (
    <g>
      <path class="dotted" d={up(plan.strip, (one) => one.moon_altitude_deg)} />
      {target && <path class="line" d={up(target.strip, (one) => one.altitude_deg)} />}
      <path class="thick" d={path(usable.map((one) => [frame.x(at(one.utc)), frame.y(one.altitude_deg)] as const))} />
    </g>
  );
}

interface RowProps {
  name: string;
  index: number;
  frame: Frame;
  chosen?: boolean;
  children: (middle: number) => ComponentChildren;
}

function Row({ name, index, frame, chosen = false, children }: RowProps) {
  const middle = top + sky_height + 10 + (index + 0.5) * row_height;
  return (
    <g>
      <path class="thin" d={`M${gutter} ${middle}H${frame.width - 4}`} />
      <text x={0} y={middle + 5} style={chosen ? { fontWeight: 900 } : {}}>
        {name}
      </text>
      {children(middle)}
    </g>
  );
}

// A window: a bar, and the half-disc of its best moment.
function Windows({ target, frame, middle, chosen }: { target: PlanTarget; frame: Frame; middle: number; chosen: boolean }) {
  return (
    <>
      {target.windows.map((window) => {
        const from = frame.x(at(window.begins));
        const best = frame.x(at(window.best));
        return (
          <g key={window.begins}>
            <rect class={chosen ? "solid" : "land"} x={from} y={middle - 4} width={frame.x(at(window.ends)) - from} height={8} />
            <path class={chosen ? "solid" : "land"} d={`M${best - 9} ${middle}a9 9 0 0 1 18 0Z`} />
          </g>
        );
      })}
    </>
  );
}

function Levers({ plan, target, frame, middle }: { plan: Plan; target: PlanTarget; frame: Frame; middle: number }) {
  const fringes = plan.rig?.targets.find((one) => one.target === target.target)?.fringes ?? [];
  const room = 38;
  let last = -Infinity;
  return (
    <>
      {fringes.map((one) => {
        const x = frame.x(at(one.utc));
        if (one.lever_marks === undefined || x - last < room || x > frame.width - 18) return null;
        last = x;
        return (
          <text key={one.utc} class="middle" x={x} y={middle - 4}>
            {figure(one.lever_marks, 2)}
          </text>
        );
      })}
    </>
  );
}

function Axis({ frame, y }: { frame: Frame; y: number }) {
  const every = frame.width < 560 ? 3 : frame.width < 900 ? 2 : 1;
  return (
    <g>
      {whole_hours(frame.hours, every).map((t) => (
        <text key={t} class="middle" x={frame.x(t)} y={y}>
          {new Date(t).toISOString().slice(11, 13)}
        </text>
      ))}
      <text x={0} y={y}>
        UT
      </text>
    </g>
  );
}

export function HourStrip({ plan, target, cursor, now }: StripProps) {
  const [box, width] = use_width<HTMLDivElement>();
  const frame = frame_of(plan, width);
  const shown = plan.targets.filter((one) => one.windows.length > 0);
  const cooling = plan.rig?.cooling;
  const dew = plan.rig?.dew;
  let rows = 0;
  const next = () => rows++;
  const bands = shown.map((one) => (
    <Row key={one.target} name={one.target} index={next()} frame={frame} chosen={one === target}>
      {(middle) => <Windows target={one} frame={frame} middle={middle} chosen={one === target} />}
    </Row>
  ));
  const levers = target && (
    <Row name="Levers" index={next()} frame={frame}>
      {(middle) => <Levers plan={plan} target={target} frame={frame} middle={middle} />}
    </Row>
  );
  const tube = (cooling || dew?.fogs) && (
    <Row name="Tube" index={next()} frame={frame}>
      {(middle) => (
        <>
          {cooling && <Cooling out={at(cooling.out)} ready={at(cooling.ready)} frame={frame} middle={middle} />}
          {dew?.fogs && <Dew fogs={at(dew.fogs)} frame={frame} middle={middle} />}
        </>
      )}
    </Row>
  );
  const events = (
    <Row name="Events" index={next()} frame={frame}>
      {(middle) =>
        plan.events
          .filter(({ kind }) => kind === "satellite" || kind === "feature")
          .map(({ utc, words }) => <path key={utc + words} class="mark" d={`M${frame.x(at(utc))} ${middle - 8}v16`} />)
      }
    </Row>
  );
  const floor = top + sky_height + 10 + rows * row_height;
  const inside = (t: number) => t > frame.hours.begins && t < frame.hours.ends;
  const moon = nearest(plan.strip, cursor);
  return (
    <div ref={box}>
      <svg
        class="drawing"
        width={width}
        height={floor + bottom}
        viewBox={`0 0 ${width} ${floor + bottom}`}
        role="img"
        aria-label={spoken(plan)}
      >
        <Sky plan={plan} frame={frame} />
        {target && <Horizon target={target} frame={frame} />}
        <Curves plan={plan} target={target} frame={frame} />
        {bands}
        {levers}
        {tube}
        {events}
        <Axis frame={frame} y={floor + 18} />
        <path class="line" d={`M${frame.x(cursor)} ${top - 4}V${floor}`} />
        {inside(now) && (
          <g>
            <path class="mark" d={`M${frame.x(now)} ${top - 4}v14`} />
            <text class="middle" x={Math.max(gutter + 14, frame.x(now))} y={top - 8}>
              now
            </text>
          </g>
        )}
        {moon && moon.moon_altitude_deg > 0 && target?.target !== "Moon" && (
          <circle class="body" cx={frame.x(cursor)} cy={frame.y(moon.moon_altitude_deg)} r={6} />
        )}
      </svg>
    </div>
  );
}

function Cooling({ out, ready, frame, middle }: { out: number; ready: number; frame: Frame; middle: number }) {
  const from = frame.x(out);
  const to = frame.x(ready);
  return (
    <g>
      <path class="land" d={`M${from} ${middle - 10}L${to} ${middle - 2}V${middle + 2}L${from} ${middle + 10}Z`} />
      <path class="mark" d={`M${to} ${middle - 9}v18`} />
    </g>
  );
}

function Dew({ fogs, frame, middle }: { fogs: number; frame: Frame; middle: number }) {
  const x = frame.x(fogs);
  return (
    <g>
      <path class="solid" d={`M${x} ${middle - 11}c5 7 7 10 7 13a7 7 0 0 1 -14 0c0-3 2-6 7-13Z`} />
      <text x={x + 12} y={middle - 4}>
        dew
      </text>
    </g>
  );
}

function spoken(plan: Plan): string {
  const windows = plan.targets
    .filter((one) => one.windows.length > 0)
    .map((one) => `${one.target} ${one.windows.map((w) => `${w.begins.slice(11, 16)} to ${w.ends.slice(11, 16)}`).join(", ")}`);
  return `Hours of the night, UT. Can be recorded: ${windows.join("; ") || "nothing"}.`;
}
