// The traced horizon: what stands in the way, every 5 degrees of azimuth while it is drawn, and as horizon.csv holds it.

export type Kind = "open" | "roof" | "tree" | "hill";

export interface Obstacle {
  altitude: number; // degrees
  kind: Kind;
  warm: boolean;
}

export const step_deg = 5;
export const count = 360 / step_deg;
export const highest_deg = 60;

const header = "# azimuth in degrees from north through east,altitude in degrees,open or roof or tree or hill,warm yes or no\n";

interface Point extends Obstacle {
  azimuth: number;
}

function points_of(csv: string): Point[] {
  const points: Point[] = [];
  for (const line of csv.split("\n")) {
    const [azimuth, altitude, kind = "open", warm = "no"] =
      line
        .split("#")[0]
        ?.split(",")
        .map((word) => word.trim()) ?? [];
    if (!azimuth || !altitude || !Number.isFinite(Number(azimuth))) continue;
    points.push({ azimuth: Number(azimuth), altitude: Number(altitude), kind: kind as Kind, warm: warm === "yes" });
  }
  return points.sort((a, b) => a.azimuth - b.azimuth);
}

// The horizon of a file at the drawing's azimuths: heights between points on a straight line, kinds from the point before.
export function from_csv(csv: string): Obstacle[] {
  const points = points_of(csv);
  return Array.from({ length: count }, (_, i) => {
    const azimuth = i * step_deg;
    const last = points[points.length - 1];
    const first = points[0];
    if (!first || !last) return { altitude: 0, kind: "open", warm: false };
    const index = points.findIndex((point) => point.azimuth > azimuth);
    const after = index < 0 ? { ...first, azimuth: first.azimuth + 360 } : (points[index] ?? first);
    const before = index > 0 ? (points[index - 1] ?? last) : index < 0 ? last : { ...last, azimuth: last.azimuth - 360 };
    const width = after.azimuth - before.azimuth;
    const share = width > 0 ? (azimuth - before.azimuth) / width : 0;
    return { altitude: before.altitude + share * (after.altitude - before.altitude), kind: before.kind, warm: before.warm };
  });
}

// Points on a straight line between their neighbours are left out.
export function to_csv(horizon: readonly Obstacle[]): string {
  const lines = horizon.flatMap((one, i) => {
    const before = horizon[(i + count - 1) % count] ?? one;
    const after = horizon[(i + 1) % count] ?? one;
    const straight = Math.abs(one.altitude - (before.altitude + after.altitude) / 2) < 0.05;
    if (i > 0 && straight && one.kind === before.kind && one.warm === before.warm) return [];
    return [`${i * step_deg},${one.altitude.toFixed(1)},${one.kind},${one.warm ? "yes" : "no"}`];
  });
  return header + lines.join("\n") + "\n";
}

// The horizon with everything between two azimuths, as a finger passed them, at the finger's height.
export function drawn(horizon: readonly Obstacle[], from: number, to: number, brush: Obstacle): Obstacle[] {
  const low = Math.round(Math.min(from, to) / step_deg);
  const high = Math.round(Math.max(from, to) / step_deg);
  const next = [...horizon];
  for (let i = low; i <= high; i++) next[((i % count) + count) % count] = brush;
  return next;
}
