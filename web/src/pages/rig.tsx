// The rig and where it stands.
import { Choice } from "../parts/choice";
import { Bench } from "../rig/train_bench";
import { FileEditor } from "../rig/file_editor";
import { HorizonEditor } from "../rig/horizon_editor";
import { SiteEditor } from "../rig/site_editor";
import { go } from "../route";

const tables = [
  { value: "train", words: "Train" },
  { value: "site", words: "Place" },
  { value: "horizon", words: "Horizon" },
  { value: "file", words: "Whole file" },
] as const;

type Table = (typeof tables)[number]["value"];

export function Rig({ rest }: { rest: string }) {
  const shown: Table = tables.find(({ value }) => value === rest)?.value ?? "train";
  return (
    <div class="stack">
      <h1>Rig and site</h1>
      <Choice label="Part of the rig" slide value={shown} options={tables} choose={(value) => go("rig", value)} />
      {shown === "train" && <Bench />}
      {shown === "site" && <SiteEditor />}
      {shown === "horizon" && <HorizonEditor />}
      {shown === "file" && <FileEditor name="rig" title="rig.toml" />}
    </div>
  );
}
