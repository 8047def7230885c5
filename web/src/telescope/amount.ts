// How far a hand turns, as a signed number in the control's unit (docs: positive is clockwise, up, right, higher marks, more)
// and as the words `halfarc turned` takes.
import type { Advice } from "../wire";
import { figure } from "../words";

export interface Amount {
  control: string;
  value: number;
}

interface Manner {
  unit: string;
  step: number; // what one tap on + or - changes
  more: string; // the direction of a positive amount
  less: string;
}

const turns: Manner = { unit: "turn", step: 1 / 32, more: "clockwise", less: "counter-clockwise" };

const manners: Record<string, Manner> = {
  focus: turns,
  "screw-a": turns,
  "screw-b": turns,
  "screw-c": turns,
  levers: { unit: "mark", step: 0.5, more: "up the scale", less: "down the scale" },
  roll: { unit: "deg", step: 1, more: "clockwise", less: "counter-clockwise" },
  altitude: { unit: "s", step: 0.5, more: "up", less: "down" },
  azimuth: { unit: "s", step: 0.5, more: "right", less: "left" },
  spacing: { unit: "mm", step: 1, more: "more", less: "less" },
  exposure: { unit: "ms", step: 1, more: "longer", less: "shorter" },
  cooling: { unit: "min", step: 5, more: "of waiting", less: "" },
};

export const controls = Object.keys(manners);

export function manner_of(control: string): Manner {
  return manners[control] ?? turns;
}

// The advice's amount; its sign is that of the contract.
export function amount_of({ control, turn }: Pick<Advice, "control" | "turn">): Amount {
  return { control, value: turn };
}

// Turns are spoken of in 32nds, as a hand can judge them; a fraction is written when it is one.
const finest = 32;

function fraction(value: number): string | undefined {
  const parts = Math.round(value * finest);
  if (Math.abs(value * finest - parts) > 0.05 || parts === 0) return undefined;
  const whole = Math.floor(parts / finest);
  let top = parts % finest;
  let bottom = finest;
  while (top > 0 && top % 2 === 0) {
    top /= 2;
    bottom /= 2;
  }
  if (top === 0) return String(whole);
  return (whole ? `${whole} ` : "") + `${top}/${bottom}`;
}

function plain(control: string, size: number): string {
  return (manner_of(control).unit === "turn" ? fraction(size) : undefined) ?? figure(size, 2);
}

// "1/16 turn clockwise".
export function in_words({ control, value }: Amount): string {
  const { unit, more, less } = manner_of(control);
  const size = Math.abs(value);
  const noun = unit === "deg" ? "°" : ` ${unit}${size > 1 && (unit === "turn" || unit === "mark") ? "s" : ""}`;
  return `${plain(control, size)}${noun} ${value < 0 ? less : more}`.trim();
}

// As `halfarc turned CONTROL AMOUNT` reads it: a signed number and its unit.
export function as_typed({ control, value }: Amount): string {
  return `${Number(value.toFixed(4))} ${manner_of(control).unit}`;
}

export function stepped({ control, value }: Amount, steps: number): Amount {
  const { step } = manner_of(control);
  return { control, value: Math.round(value / step + steps) * step };
}

const names: Record<string, string> = {
  focus: "focus knob",
  levers: "both levers",
  roll: "corrector's roll",
  "screw-a": "screw a",
  "screw-b": "screw b",
  "screw-c": "screw c",
  altitude: "up and down keys",
  azimuth: "left and right keys",
  spacing: "amplifier's spacing",
  exposure: "exposure",
  cooling: "waiting",
};

export function name_of(control: string): string {
  return names[control] ?? control;
}
