// Images: make one, watch it come, and look at it with its proof.
import * as api from "../api";
import { use_load } from "../load";
import { LoadedFace } from "../parts/faces";
import { ImageView } from "../image/image_view";
import { JobView, use_jobs } from "../image/jobs_view";
import { MakeForm } from "../image/make_form";
import { go } from "../route";
import { lines_of } from "../wire";
import { clock, day } from "../words";

const making = "make:";

export function ImagePage({ rest }: { rest: string }) {
  const loaded = use_load(api.images, "images", ["job"]);
  const jobs = use_jobs().filter(
    ({ state }) => state === "running" || state === "waiting" || state === "failed" || state === "done",
  );
  const latest = jobs.filter(({ state }, i) => state === "running" || state === "waiting" || i === 0);
  return (
    <LoadedFace of={loaded} what="Reading the images">
      {({ images }) => {
        const one = images.find(({ id }) => id === rest);
        if (one) return <ImageView made={one} key={one.id} />;
        return (
          <div class="stack wide">
            <h1>Image</h1>
            {latest.map((job) => (
              <JobView key={job.id} job={job} />
            ))}
            {images.length > 0 && (
              <ul class="list" aria-label="Images">
                {images.map(({ id, name, utc, words }) => (
                  <li key={id}>
                    <button onClick={() => go("image", id)}>
                      <strong>{name}</strong>
                      {utc && (
                        <div class="quiet">
                          {day(utc)}, {clock(utc)} UT
                        </div>
                      )}
                      {lines_of(words).map((line) => (
                        <div key={line}>{line}</div>
                      ))}
                    </button>
                  </li>
                ))}
              </ul>
            )}
            <MakeForm first={rest.startsWith(making) ? rest.slice(making.length) : undefined} />
          </div>
        );
      }}
    </LoadedFace>
  );
}
