// What the train makes of the light; beside each figure what it was before the change being tried.
import { Figures, type NamedFigure } from "../parts/figures";
import type { Train } from "../wire";
import { figure } from "../words";

interface Asked {
  name: string;
  unit: string;
  of: (train: Train) => number | undefined;
  figures?: number;
}

const asked: readonly Asked[] = [
  { name: "Focal length", unit: "mm", of: (train) => train.focal_length_mm, figures: 4 },
  { name: "Focal ratio", unit: "", of: (train) => train.focal_ratio },
  { name: "Scale", unit: "″ a pixel", of: (train) => train.scale_arcsec_per_px, figures: 4 },
  { name: "Pixels in λ/D, green", unit: "", of: (train) => train.pixels_per_resolution },
  { name: "Light on a pixel", unit: "of the bare telescope's", of: (train) => train.light_factor },
  { name: "Focus behind the port", unit: "mm", of: (train) => train.back_focus_mm, figures: 4 },
  { name: "Sharp within", unit: "turns of the knob", of: (train) => train.focus.knob_turns },
  { name: "Levers", unit: "marks each", of: (train) => train.prisms?.lever_marks, figures: 2 },
  { name: "Colour left", unit: "″", of: (train) => train.prisms?.residual_arcsec, figures: 2 },
  { name: "Exposure", unit: "ms", of: (train) => train.exposure?.ms },
  { name: "Frames", unit: "a second", of: (train) => train.exposure?.frames_per_s },
  { name: "Longest run", unit: "s", of: (train) => train.smear?.longest_run_s },
];

export function TrainFigures({ train, before }: { train: Train; before?: Train | undefined }) {
  const rows: NamedFigure[] = [];
  for (const { name, unit, of, figures } of asked) {
    const value = of(train);
    if (value === undefined) continue;
    const old = before && of(before);
    const text = figure(value, figures);
    const changed = old !== undefined && figure(old, figures) !== text;
    rows.push({ name, value: text, unit, ...(changed ? { beside: `was ${figure(old, figures)}` } : {}) });
  }
  const field = `${figure(train.field_arcsec[0] ?? 0)} × ${figure(train.field_arcsec[1] ?? 0)}`;
  rows.push({ name: "Field", value: field, unit: "″" });
  return <Figures of={rows} />;
}
