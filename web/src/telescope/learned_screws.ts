// Where the three screws stand on the camera's picture, as far as turns have taught it.
import * as api from "../api";
import { use_load } from "../load";
import type { LogResponse } from "../wire";
import type { ScrewView } from "./control_picture";

// What a turn of screw a clockwise adds to coma (x right, y down) says where it stands; a direction that is no surer than
// a sixth of a turn is not shown.
export function screw_view(responses: readonly LogResponse[]): ScrewView | undefined {
  const of = (reading: string) => responses.find((one) => one.control === "screw-a" && one.reading === reading);
  const x = of("coma_x");
  const y = of("coma_y");
  if (!x || !y || Math.hypot(x.value, y.value) < 2 * Math.hypot(x.sigma, y.sigma)) return undefined;
  return {
    first: Math.atan2(x.value, -y.value) / (2 * Math.PI),
    follows: (of("counter_clockwise")?.value ?? 1) > 0.5 ? -1 : 1,
  };
}

export function use_screws(): ScrewView | undefined {
  const { value } = use_load(api.trends, "trends", ["reading", "log"]);
  return screw_view(value?.responses ?? []);
}
