// Named numbers with their units, as a list that a screen reader can walk.
import type { ComponentChildren } from "preact";

export interface NamedFigure {
  name: string;
  value: ComponentChildren;
  unit?: string;
  beside?: string;
}

export function Figures({ of }: { of: readonly NamedFigure[] }) {
  return (
    <dl class="figures">
      {of.map(({ name, value, unit, beside }) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd class="number">
            {value}
            {unit && !unit.startsWith("″") && " "}
            {unit && <small>{unit}</small>}
            {beside && <p class="quiet">{beside}</p>}
          </dd>
        </div>
      ))}
    </dl>
  );
}
