// The budget of blur as bars: what each cause takes from half-arcsecond contrast, predicted beside measured.
import type { BudgetTable } from "../wire";
import { percent } from "../words";

type Row = BudgetTable["rows"][number];

const names: Record<Row["cause"], string> = {
  diffraction: "aperture itself",
  pixels: "pixels",
  air: "air",
  tube_heat: "warm tube",
  collimation: "collimation",
  focus: "focus",
  corrector: "corrector's prisms",
  dispersion_between: "colour fringes",
  dispersion_inside: "colour within a plane",
  exposure: "motion in a frame",
  spin: "the planet's spin",
  field_rotation: "turning field",
  registration: "registration",
  noise: "noise",
};

function Track({ row, kind }: { row: Row; kind: "predicted" | "measured" }) {
  const lost = Math.min(1, Math.max(0, 1 - row.half_arc_contrast));
  return (
    <div class="track" role="img" aria-label={`${kind}: takes ${percent(lost)}`}>
      <div class={`fill ${kind}`} style={{ width: `${100 * lost}%` }} />
    </div>
  );
}

export function BudgetBars({ predicted, measured }: { predicted: BudgetTable; measured?: BudgetTable | undefined }) {
  const of_measured = new Map(measured?.rows.map((row) => [row.cause, row]));
  const rows = [...(measured?.rows ?? predicted.rows)];
  const of_predicted = new Map(predicted.rows.map((row) => [row.cause, row]));
  return (
    <div class="stack">
      <p class="quiet">
        Length: the share of half-arcsecond contrast that each takes away. Hatched: predicted. Solid: measured. The top one is
        what to mend next.
      </p>
      <ul class="bars">
        {rows.map(({ cause }) => {
          const before = of_predicted.get(cause);
          const found = of_measured.get(cause);
          const row = found ?? before;
          if (!row) return null;
          return (
            <li class="bar" key={cause}>
              <div class="names">
                <strong>{names[cause]}</strong>
                <span class="number">−{percent(Math.max(0, 1 - row.half_arc_contrast))}</span>
              </div>
              {before && <Track row={before} kind="predicted" />}
              {found && found.source === "measured" && <Track row={found} kind="measured" />}
              <p class="quiet">
                {row.because}
                {row.undone_afterwards ? "" : row.remedy ? `; to mend: ${row.remedy}` : ""}
              </p>
            </li>
          );
        })}
      </ul>
    </div>
  );
}
