// The owner's rig.toml as text that keeps its comments, cut where its parts begin, so that parts can be moved, put in
// and taken out without touching anything else. The program reads and judges the result; nothing is judged here.

export interface Part {
  text: string; // "[[part]]" and its lines
  keys: Record<string, string>; // values as written, quotes taken off
}

export interface RigText {
  before: string;
  parts: Part[];
  after: string;
}

// What stands before a comment; '#' inside quotes is no comment.
function without_comment(line: string): string {
  let quote = "";
  for (let i = 0; i < line.length; i++) {
    const c = line.charAt(i);
    if (quote) {
      if (c === quote) quote = "";
    } else if (c === '"' || c === "'") quote = c;
    else if (c === "#") return line.slice(0, i);
  }
  return line;
}

function keys_of(text: string): Record<string, string> {
  const keys: Record<string, string> = {};
  for (const line of text.split("\n")) {
    const found = /^\s*(\w+)\s*=\s*(.*?)\s*$/.exec(without_comment(line));
    if (found?.[1]) keys[found[1]] = (found[2] ?? "").replace(/^(["'])(.*)\1$/, "$2");
  }
  return keys;
}

export function part_of(text: string): Part {
  return { text, keys: keys_of(text) };
}

export function cut(text: string): RigText {
  const pieces: { part: boolean; lines: string[] }[] = [{ part: false, lines: [] }];
  for (const line of text.split("\n")) {
    if (/^\s*\[/.test(line)) pieces.push({ part: /^\s*\[\[\s*part\s*\]\]/.test(line), lines: [] });
    pieces[pieces.length - 1]?.lines.push(line);
  }
  const joined = (some: typeof pieces) => some.map(({ lines }) => lines.join("\n")).join("\n");
  const first = pieces.findIndex(({ part }) => part);
  if (first < 0) return { before: text, parts: [], after: "" };
  const rest = pieces.slice(first);
  return {
    before: joined(pieces.slice(0, first)) + "\n",
    parts: rest.filter(({ part }) => part).map(({ lines }) => part_of(lines.join("\n").trimEnd())),
    after: joined(rest.filter(({ part }) => !part)),
  };
}

export function joined({ before, parts, after }: RigText): string {
  return before + parts.map(({ text }) => text + "\n\n").join("") + after;
}

// A part as `halfarc train --add` takes it: key=value,key=value.
function spec_of(part: Part, at: string | undefined): string {
  const words = Object.entries(part.keys).map(([key, value]) => {
    const plain = value.startsWith("[") ? value.replace(/\s/g, "") : value.replace(/,/g, " ");
    return `${key}=${plain}`;
  });
  if (at) words.push(`at=${at}`);
  return words.join(",");
}

export interface Trial {
  add: string[];
  remove: string[];
}

// What to take out of the first train and put in to get the second: all between what they share at either end.
export function trial_of(kept: readonly Part[], draft: readonly Part[]): Trial {
  let head = 0;
  while (head < kept.length && head < draft.length && kept[head]?.text === draft[head]?.text) head++;
  let tail = 0;
  const most = Math.min(kept.length, draft.length) - head;
  while (tail < most && kept[kept.length - 1 - tail]?.text === draft[draft.length - 1 - tail]?.text) tail++;
  const behind = draft[draft.length - tail]?.keys["name"];
  return {
    remove: kept.slice(head, kept.length - tail).map(({ keys }) => keys["name"] ?? keys["kind"] ?? ""),
    add: draft.slice(head, draft.length - tail).map((part) => spec_of(part, tail > 0 ? behind : undefined)),
  };
}

export function moved<T>(list: readonly T[], from: number, to: number): T[] {
  const next = [...list];
  const [one] = next.splice(from, 1);
  if (one !== undefined) next.splice(to, 0, one);
  return next;
}

// One key of a flat TOML text set to a value, its comment kept; added at the end when it was not there.
export function with_key(text: string, key: string, value: string): string {
  const lines = text.split("\n");
  const index = lines.findIndex((line) => new RegExp(`^\\s*${key}\\s*=`).test(line));
  const old = lines[index];
  if (old === undefined) return `${text.trimEnd()}\n${key} = ${value}\n`;
  const comment = old.slice(without_comment(old).length);
  lines[index] = `${key} = ${value}${comment ? "    " + comment : ""}`;
  return lines.join("\n");
}

export function key_of(text: string, key: string): string {
  return keys_of(text)[key] ?? "";
}
