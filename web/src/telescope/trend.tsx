// How a reading has gone tonight: a point a clip, each with its error, the last one big.
import { use_width } from "../parts/width";
import type { TrendPoint } from "../wire";
import { clock, figure, with_error } from "../words";

const height = 110;
const margin = 16;

export function Trend({ points, unit }: { points: readonly TrendPoint[]; unit?: string | undefined }) {
  const [box, width] = use_width<HTMLDivElement>(240);
  const first = points[0];
  const last = points[points.length - 1];
  if (!first || !last || points.length < 2) return null;
  const tops = points.map(({ value, sigma = 0 }) => value + sigma);
  const bottoms = points.map(({ value, sigma = 0 }) => value - sigma);
  const high = Math.max(0, ...tops);
  const low = Math.min(0, ...bottoms);
  const y = (value: number) => margin + ((high - value) / (high - low || 1)) * (height - 2 * margin);
  const x = (i: number) => margin + (i / (points.length - 1)) * (width - 2 * margin);
  const words = `From ${figure(first.value)} at ${clock(first.utc)} to ${with_error(last.value, last.sigma)} at ${clock(last.utc)}${unit ? ", " + unit : ""}`;
  return (
    <figure ref={box}>
      <svg class="drawing" width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={words}>
        <path class="thin" d={`M0 ${y(0)}H${width}`} />
        <path class="line" d={points.map(({ value }, i) => `${i ? "L" : "M"}${x(i)} ${y(value)}`).join("")} />
        {points.map(({ utc, value, sigma = 0 }, i) => (
          <g key={utc}>
            <path class="line" d={`M${x(i)} ${y(value - sigma)}V${y(value + sigma)}`} />
            <circle class="solid" cx={x(i)} cy={y(value)} r={i === points.length - 1 ? 9 : 5} />
          </g>
        ))}
      </svg>
      <figcaption class="quiet">{words}</figcaption>
    </figure>
  );
}
