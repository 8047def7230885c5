// Everything the pages ask of the server, one function an address (docs/contracts/http.md).
import type {
  Budget,
  Check,
  FileName,
  ImageProof,
  Job,
  Log,
  MadeImage,
  MakeRequest,
  OwnersFile,
  Plan,
  Recording,
  Status,
  Step,
  Train,
  ViewPart,
} from "./wire";

// What went wrong, where, and what to do: the three parts of every error the program prints.
export class Fault extends Error {
  constructor(
    readonly status: number,
    readonly what: string,
    readonly where: string,
    readonly to_do: string,
  ) {
    super(what);
  }
}

type Query = Record<string, string | readonly string[] | undefined>;

function address(path: string, query: Query = {}): string {
  const all = new URLSearchParams();
  for (const [name, value] of Object.entries(query)) {
    for (const one of typeof value === "string" ? [value] : (value ?? [])) all.append(name, one);
  }
  const text = all.toString();
  return "/api/" + path + (text ? "?" + text : "");
}

async function fault_of(answer: Response, path: string): Promise<Fault> {
  try {
    const body = (await answer.json()) as { error?: Partial<{ what: string; where: string; to_do: string }> };
    const { what = "the server refused", where = "", to_do = "try again" } = body.error ?? {};
    return new Fault(answer.status, what, where, to_do);
  } catch {
    return new Fault(answer.status, `the server answered ${answer.status}`, path, "try again");
  }
}

async function ask<T>(method: string, path: string, query?: Query, body?: object): Promise<T> {
  const init: RequestInit = { method, credentials: "same-origin", cache: "no-store" };
  if (body) {
    init.body = JSON.stringify(body);
    init.headers = { "Content-Type": "application/json" };
  }
  let answer: Response;
  try {
    answer = await fetch(address(path, query), init);
  } catch {
    throw new Fault(
      0,
      "halfarc does not answer",
      "",
      "see that halfarc serve still runs on the laptop; this page comes back by itself",
    );
  }
  if (!answer.ok) throw await fault_of(answer, path);
  return (await answer.json()) as T;
}

const get = <T>(path: string, query?: Query) => ask<T>("GET", path, query);
const id_of = (id: string | number) => encodeURIComponent(String(id));

export const status = () => get<Status>("status");
export const tonight = (date?: string) => get<Plan>("tonight", { date });

export interface TrainQuery {
  target?: string | undefined;
  at?: string | undefined;
  add?: readonly string[];
  remove?: readonly string[];
}
export const train = (query: TrainQuery) => get<Train>("train", { ...query });
export interface BudgetQuery {
  target: string;
  at?: string | undefined;
  run?: readonly string[] | undefined;
  add?: readonly string[];
  remove?: readonly string[];
}
export const budget = (query: BudgetQuery) => get<Budget>("budget", { ...query });

export const read_file = (name: FileName) => get<OwnersFile>(name);
export const write_file = (name: FileName, text: string) => ask<{ ok: true }>("PUT", name, {}, { text });
export const init = (request: { telescope: string; site?: string; name?: string }) =>
  ask<{ ok: true; written: string[] }>("POST", "init", {}, request);

export const recordings = () => get<{ recordings: Recording[] }>("recordings");
export const recording = (id: string) => get<Check>(`recordings/${id_of(id)}`);
export const recording_picture = (id: string, width: number) =>
  address(`recordings/${id_of(id)}/picture.png`, { width: String(width) });

export const steps = () => get<{ night: string; steps: Step[] }>("step");
export const turned = (control: string, amount: string) =>
  ask<{ ok: true; words: string }>("POST", "turned", {}, { control, amount });

export const make = (request: MakeRequest) => ask<{ job: string }>("POST", "make", {}, request);
export const rehearse = () => ask<{ job: string }>("POST", "rehearse", {}, { short: true });
export const jobs = () => get<{ jobs: Job[] }>("jobs");
export const stop_job = (id: string | number) => ask<{ ok: true }>("DELETE", `jobs/${id_of(id)}`);

export const images = () => get<{ images: MadeImage[] }>("images");
export const image = (id: string) => get<ImageProof>(`images/${id_of(id)}`);
export const image_view = (id: string, part: ViewPart, zoom: number, turn: number, flip: boolean) =>
  address(`images/${id_of(id)}/view.png`, { part, zoom: String(zoom), turn: String(turn), flip: flip ? "1" : "0" });
export const image_report = (id: string, format: string, target: string | undefined) =>
  address("report", { image: id, format, target });
export const night_report = (night: string, format: string) => address("report", { night, format });
export const image_file = (id: string, format: string) => address(`images/${id_of(id)}/file`, { format });

export const log = (search: string) => get<Log>("log", search ? { search } : {});
export const log_night = (night: string) => get<Log>(`log/${id_of(night)}`);
export const trends = () => get<Log>("log/trends");
export const note = (text: string) => ask<{ ok: true }>("POST", "notes", {}, { text });
export const log_export = (format: "json" | "csv") => address("log/export", { format });

export const pair = (code: string) => ask<{ ok: true }>("POST", "pair", {}, { code });
