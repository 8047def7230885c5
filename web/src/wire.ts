// The server's own documents, as docs/contracts/http.md writes them down. Those of the commands are made from their
// schemas (src/contracts) and only given their names here.
import type { Document as BudgetDocument } from "./contracts/budget";
import type { Document as CheckDocument } from "./contracts/check";
import type { Document as ImageDocument } from "./contracts/image";
import type { Document as LogDocument, Night, Row } from "./contracts/log";
import type { Document as PlanDocument } from "./contracts/plan";
import type { Document as TrainDocument } from "./contracts/train";

export type Plan = PlanDocument;
export type PlanTarget = Plan["targets"][number];
export type Train = TrainDocument;
export type TrainPart = Train["parts"][number];
export type Check = CheckDocument;
export type Budget = BudgetDocument;
export type BudgetTable = Budget["predicted"];
export type ImageProof = ImageDocument;
export type Log = LogDocument;
export type LogRow = Row;
export type LogNight = Night;
export type LogTrend = NonNullable<Log["trends"]>[number];
export type LogResponse = NonNullable<Log["responses"]>[number];

export interface Status {
  version: string;
  home?: string;
  watching?: string;
  has_site?: boolean;
  has_rig?: boolean;
  paired: boolean;
  now_utc: string;
}

export interface OwnersFile {
  text: string;
  exists: boolean;
}

export type FileName = "site" | "rig" | "horizon";

export interface Recording {
  id: string;
  name: string;
  path: string;
  mid_utc?: string;
  kind?: string;
  target?: string;
  words: string | string[];
  frames?: number;
  checked: boolean;
  image?: string;
}

export type Advice = NonNullable<Check["advice"]>[number];

export interface Reading {
  utc: string;
  recording?: string;
  words: string | string[];
  value?: number;
  sigma?: number;
  unit?: string;
}

export interface TrendPoint {
  utc: string;
  value: number;
  sigma?: number;
}

export type StepName = "cool" | "collimate" | "train" | "find" | "disperse" | "focus" | "expose" | "record";

export interface Step {
  step: StepName;
  title: string;
  last?: Reading;
  advice: Advice[];
  trend: TrendPoint[];
}

export interface Job {
  id: string | number;
  kind: "make" | "rehearse";
  state: "waiting" | "running" | "done" | "failed" | "stopped";
  stage?: string;
  done?: number;
  total?: number;
  words?: string;
  started_utc?: string;
  ended_utc?: string;
  result?: string;
  error?: { what: string; where: string; to_do: string };
}

export interface MadeImage {
  id: string;
  name: string;
  utc?: string;
  words: string | string[];
  width: number;
  height: number;
  outputs: string[];
}

export type ViewPart = "image" | "stack" | "half1" | "half2" | "trust";

export interface MakeRequest {
  runs: string[];
  target?: string; // whose spin is undone
  north_deg?: number;
  detail?: "softer" | "as-measured" | "harder";
  keep_percent?: number;
}

export function lines_of(words: string | string[] | undefined): string[] {
  if (words === undefined) return [];
  return (Array.isArray(words) ? words : [words]).filter((line) => line.trim() !== "");
}
