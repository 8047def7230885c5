// One finished image: itself, its halves, where it can be trusted; turned and magnified; and away with it as a file.
import { useState } from "preact/hooks";
import * as api from "../api";
import { use_load } from "../load";
import { Choice } from "../parts/choice";
import { LoadedFace } from "../parts/faces";
import { go } from "../route";
import type { ImageProof, MadeImage, ViewPart } from "../wire";
import { with_error } from "../words";
import { caption_of } from "./caption";
import { Crop, type Frame } from "./crop";
import { Done, Resolution } from "./proof";

const parts: readonly { value: ViewPart; words: string; says: string }[] = [
  { value: "image", words: "Image", says: "The finished image" },
  { value: "stack", words: "Before", says: "The plain stack, before restoration" },
  { value: "half1", words: "Half 1", says: "Made of one half of the frames" },
  { value: "half2", words: "Half 2", says: "Made of the other half of the frames; what differs from half 1 is not real" },
  { value: "trust", words: "Trust", says: "Bright: detail is in both halves. Dark: it is not" },
];

const zooms = [1, 2, 3, 4].map((value) => ({ value, words: `${value}×` }));
const formats: Record<string, string> = { fits: "FITS, 32 bit", tif: "TIFF, 16 bit", png: "PNG, 16 bit" };

// The magnification at which a picture fills what room there is, without being cut.
function fitting(width: number): number {
  const room = Math.min(innerWidth - 32, 640);
  return Math.max(1, Math.min(4, Math.floor(room / Math.max(1, width))));
}

function Viewer({ made }: { made: MadeImage }) {
  const [part, set_part] = useState<ViewPart>("image");
  const [zoom, set_zoom] = useState(() => fitting(made.width));
  const [turn, set_turn] = useState(0);
  const [flip, set_flip] = useState(false);
  const [frame, set_frame] = useState<Frame>();
  const shown = parts.find(({ value }) => value === part);
  return (
    <section class="stack" aria-label="Picture">
      <Choice slide label="What is shown" value={part} options={parts} choose={set_part} />
      <Crop
        source={api.image_view(made.id, part, zoom, turn, flip)}
        alt={`${made.name}: ${shown?.says ?? part}, ${zoom} times`}
        name={made.name}
        frame={frame}
        change={set_frame}
      />
      <p class="quiet">{shown?.says}.</p>
      <div class="row">
        <Choice label="Magnification" value={zoom} options={zooms} choose={set_zoom} />
        <button onClick={() => set_turn((turn + 90) % 360)}>Quarter turn</button>
        <button aria-pressed={flip} onClick={() => set_flip(!flip)}>
          Mirror
        </button>
      </div>
    </section>
  );
}

// What the runs of an image show, as their readings say.
function use_target(proof: ImageProof): string | undefined {
  const { value } = use_load(api.recordings, "recordings", ["reading"]);
  const names = proof.runs.map(({ path }) => path.slice(path.lastIndexOf("/") + 1));
  return value?.recordings.find(({ name, target }) => target && names.includes(name))?.target;
}

function Export({ made, proof }: { made: MadeImage; proof: ImageProof }) {
  const caption = caption_of(made.name, proof);
  const target = use_target(proof);
  const [copied, set_copied] = useState("");
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(caption);
      set_copied("Copied.");
    } catch {
      set_copied("This browser does not let pages copy; mark the words and copy them by hand.");
    }
  };
  return (
    <section class="stack">
      <h2>Take it along</h2>
      <div class="row">
        {made.outputs.map((format) => (
          <a class="button" key={format} href={api.image_file(made.id, format)} download>
            {formats[format] ?? format}
          </a>
        ))}
      </div>
      <p class="sheet">{caption}</p>
      {target && (
        <div class="row">
          <a class="button" href={api.image_report(made.id, "html", target)} download>
            Report to print
          </a>
          <a class="button" href={api.image_report(made.id, "txt", target)} download>
            Report as text
          </a>
        </div>
      )}
      {!target && <p class="quiet">A report needs to know what is shown: a run whose name or header names its target.</p>}
      <div class="row">
        <button onClick={() => void copy()}>Copy the caption</button>
        <span role="status">{copied}</span>
      </div>
    </section>
  );
}

export function ImageView({ made }: { made: MadeImage }) {
  const loaded = use_load(() => api.image(made.id), made.id);
  return (
    <div class="stack wide">
      <LoadedFace of={loaded} what="Reading the proof">
        {(proof) => (
          <>
            <div>
              <h1>{made.name}</h1>
              <p class="bigwords">Real down to {with_error(proof.resolution.arcsec, proof.resolution.sigma)}″</p>
            </div>
            <div class="halves">
              <Viewer made={made} />
              <Resolution proof={proof} />
              <Done proof={proof} />
              <Export made={made} proof={proof} />
            </div>
          </>
        )}
      </LoadedFace>
      <div>
        <button onClick={() => go("image")}>All images</button>
      </div>
    </div>
  );
}
