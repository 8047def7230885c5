// The night on a line: which hours are shown, and where an instant stands among them.
import type { Plan } from "../wire";

const hour_ms = 3_600_000;

export interface Hours {
  begins: number; // ms since 1970
  ends: number;
}

export function at(utc: string): number {
  return Date.parse(utc);
}

// From an hour before sunset, or when the tube goes out, to an hour after sunrise.
export function hours_of(plan: Plan): Hours {
  const first = plan.strip[0];
  const last = plan.strip[plan.strip.length - 1];
  const down = plan.night.sun_down;
  let begins = down.begins ? at(down.begins) - hour_ms : first ? at(first.utc) : 0;
  const ends = down.ends ? at(down.ends) + hour_ms : last ? at(last.utc) : begins + 24 * hour_ms;
  const out = plan.rig?.cooling?.out;
  if (out) begins = Math.min(begins, at(out) - hour_ms / 2);
  return { begins, ends };
}

export function whole_hours({ begins, ends }: Hours, every: number): number[] {
  const step = every * hour_ms;
  const all: number[] = [];
  for (let t = Math.ceil(begins / step) * step; t <= ends; t += step) all.push(t);
  return all;
}

// The member of `strip` nearest to an instant.
export function nearest<T extends { utc: string }>(strip: readonly T[], t: number): T | undefined {
  let best: T | undefined;
  for (const one of strip) {
    if (!best || Math.abs(at(one.utc) - t) < Math.abs(at(best.utc) - t)) best = one;
  }
  return best;
}

export type Sky = "day" | "civil" | "nautical" | "dark";

// How dark it is with the Sun at that altitude: its disc is gone at -0.83 deg; then the twilights of 6 and 12 deg.
export function sky_of(sun_altitude_deg: number): Sky {
  if (sun_altitude_deg > -0.83) return "day";
  if (sun_altitude_deg > -6) return "civil";
  if (sun_altitude_deg > -12) return "nautical";
  return "dark";
}
