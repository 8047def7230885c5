// One body at one moment, in words: what stands under the cursor of the strip.
import { Figures, type NamedFigure } from "../parts/figures";
import type { Plan, PlanTarget } from "../wire";
import { figure } from "../words";
import { nearest } from "./hours";

export function Moment({ plan, target, cursor }: { plan: Plan; target: PlanTarget; cursor: number }) {
  const here = nearest(target.strip, cursor);
  if (!here) return null;
  const fringes = plan.rig?.targets.find((one) => one.target === target.target)?.fringes ?? [];
  const fringe = here.usable ? nearest(fringes, cursor) : undefined;
  if (here.altitude_deg <= 0) return <p>{target.target} is below the horizon.</p>;
  const figures: NamedFigure[] = [
    { name: "Altitude", value: Math.round(here.altitude_deg) + "°", ...(here.usable ? {} : { beside: "not usable now" }) },
  ];
  if (here.seeing_factor !== undefined)
    figures.push({ name: "Air, against overhead", value: figure(here.seeing_factor, 2), unit: "times as bad" });
  if (here.dispersion_arcsec !== undefined)
    figures.push({ name: "Colour spread, red to blue", value: figure(here.dispersion_arcsec, 2) + "″" });
  if (fringe?.lever_marks !== undefined)
    figures.push({ name: "Levers", value: figure(fringe.lever_marks, 2), unit: "marks each" });
  return <Figures of={figures} />;
}
