// A curve with its axes, drawn by uPlot in the colours of the page.
import { useContext, useEffect, useRef } from "preact/hooks";
import uPlot from "uplot";
import { LightContext } from "./light";
import { use_width } from "./width";

export interface Curve {
  label: string;
  values: (number | null)[];
  dash?: number[];
  points?: boolean;
}

interface ChartProps {
  label: string; // what a screen reader says of it
  x: number[];
  x_label: string;
  y_label: string;
  curves: Curve[];
  time?: boolean; // x are seconds since 1970, shown as UT
  y_range?: [number, number];
  height?: number;
}

const text_font = "600 15px 'Liberation Sans', system-ui, sans-serif";

function options(props: ChartProps, width: number): uPlot.Options {
  const colour = (name: string) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  const ink = colour("--ink");
  const axis = {
    stroke: ink,
    font: text_font,
    labelFont: text_font,
    grid: { stroke: colour("--faint") },
    ticks: { stroke: colour("--line") },
  };
  return {
    width,
    height: props.height ?? 240,
    cursor: { show: false },
    legend: { show: false },
    tzDate: (seconds) => uPlot.tzDate(new Date(seconds * 1000), "UTC"),
    scales: { x: { time: props.time ?? false }, ...(props.y_range ? { y: { range: props.y_range } } : {}) },
    axes: [
      {
        ...axis,
        label: props.x_label,
        ...(props.time
          ? { values: (_: uPlot, ticks: number[]) => ticks.map((t) => new Date(t * 1000).toISOString().slice(11, 16)) }
          : {}),
      },
      { ...axis, label: props.y_label, size: 64 },
    ],
    series: [
      {},
      ...props.curves.map((curve) => ({
        label: curve.label,
        stroke: colour("--strong"),
        width: 3,
        points: { show: curve.points ?? false, size: 9, fill: colour("--strong"), stroke: colour("--strong") },
        ...(curve.dash ? { dash: curve.dash } : {}),
      })),
    ],
  };
}

export function Chart(props: ChartProps) {
  const [box, width] = use_width<HTMLDivElement>(280);
  const plot = useRef<HTMLDivElement>(null);
  const light = useContext(LightContext);
  const shape = JSON.stringify([props.x, props.curves]);
  useEffect(() => {
    if (!plot.current) return;
    const data = [props.x, ...props.curves.map((curve) => curve.values)] as uPlot.AlignedData;
    const drawn = new uPlot(options(props, width), data, plot.current);
    return () => drawn.destroy();
  }, [shape, width, light]);
  return (
    <div class="chart" ref={box}>
      <div ref={plot} role="img" aria-label={props.label} />
    </div>
  );
}
