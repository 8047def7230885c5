// One of the owner's files as it stands, comments and all; the program says in words what it cannot use.
import { useState } from "preact/hooks";
import * as api from "../api";
import { use_doing, use_load } from "../load";
import { DoingFace } from "../parts/doing";
import { LoadedFace } from "../parts/faces";
import type { FileName, OwnersFile } from "../wire";

interface EditorProps {
  name: FileName;
  title: string;
  hint?: string;
}

function Editor({ name, title, hint, file }: EditorProps & { file: OwnersFile }) {
  const [text, set_text] = useState(file.text);
  const doing = use_doing();
  const save = () =>
    doing.run(async () => {
      await api.write_file(name, text);
      return "Kept. The old file stays beside the new one.";
    });
  return (
    <div class="stack">
      <label class="field">
        {title}
        <textarea
          value={text}
          spellcheck={false}
          autocapitalize="off"
          placeholder={hint ?? ""}
          onInput={(event) => set_text(event.currentTarget.value)}
        />
      </label>
      <div class="row">
        <button class="main" disabled={doing.busy || text === file.text} onClick={save}>
          Keep
        </button>
        <button disabled={text === file.text} onClick={() => set_text(file.text)}>
          Undo
        </button>
      </div>
      <DoingFace of={doing} />
    </div>
  );
}

export function FileEditor(props: EditorProps) {
  const file = use_load(() => api.read_file(props.name), props.name);
  return (
    <LoadedFace of={file} what="Reading the file">
      {(value) => <Editor {...props} file={value} key={value.text} />}
    </LoadedFace>
  );
}
