// Work that goes on: its stage, how far, and stop.
import { useEffect, useState } from "preact/hooks";
import * as api from "../api";
import { on } from "../events";
import { use_doing, use_load } from "../load";
import { FaultFace } from "../parts/faces";
import { go } from "../route";
import type { Job } from "../wire";
import { capital } from "../words";

const titles: Record<Job["kind"], string> = { make: "Making an image", rehearse: "Rehearsing a night" };
const states: Record<Job["state"], string> = {
  waiting: "waits for its turn",
  running: "",
  done: "done",
  failed: "could not finish",
  stopped: "stopped",
};

// All jobs, kept up by events between the readings of the list.
export function use_jobs(): Job[] {
  const loaded = use_load(api.jobs, "jobs");
  const [heard, set_heard] = useState<ReadonlyMap<string, Job>>(new Map());
  useEffect(() => on("job", (job) => set_heard((map) => new Map(map).set(String(job.id), job))), []);
  const all = new Map((loaded.value?.jobs ?? []).map((job) => [String(job.id), job]));
  for (const [id, job] of heard) all.set(id, job);
  return [...all.values()];
}

export function JobView({ job }: { job: Job }) {
  const doing = use_doing();
  const share = job.total ? Math.min(1, (job.done ?? 0) / job.total) : 0;
  const going = job.state === "waiting" || job.state === "running";
  return (
    <section class="sheet stack" aria-label={titles[job.kind]}>
      <h2>
        {titles[job.kind]}
        {states[job.state] && `: ${states[job.state]}`}
      </h2>
      {job.words && <p>{job.words}</p>}
      {going && (
        <>
          <div
            class="progress"
            role="progressbar"
            aria-label={job.stage ?? "progress"}
            aria-valuenow={Math.round(100 * share)}
            aria-valuemin={0}
            aria-valuemax={100}
          >
            <div style={{ width: `${100 * share}%` }} />
          </div>
          <div class="row spread">
            <p>
              {capital(job.stage ?? "")} {job.total ? `${Math.round(100 * share)} %` : ""}
            </p>
            <button disabled={doing.busy} onClick={() => doing.run(async () => void (await api.stop_job(job.id)))}>
              Stop
            </button>
          </div>
        </>
      )}
      {job.error && (
        <p>
          {capital(job.error.what)}. {job.error.where} {capital(job.error.to_do)}.
        </p>
      )}
      {job.state === "done" && job.result && (
        <div>
          <button class="main" onClick={() => go("image", job.result)}>
            See the image
          </button>
        </div>
      )}
      {doing.fault && <FaultFace fault={doing.fault} />}
    </section>
  );
}
