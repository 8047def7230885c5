// Which advice the hand has already followed since a reading, so that nothing is turned twice while the next clip is
// still to come. Kept in the browser, because a phone forgets a page that it puts aside.

const key = "halfarc.turned";

interface DoneTurns {
  reading: string; // when the reading that advised them was made
  controls: string[];
}

function kept(): DoneTurns {
  try {
    const found = JSON.parse(localStorage.getItem(key) ?? "null") as Partial<DoneTurns> | null;
    if (typeof found?.reading === "string" && Array.isArray(found.controls))
      return { reading: found.reading, controls: found.controls };
  } catch {
    // Storage may be forbidden or hold rubbish: then nothing is known to be done.
  }
  return { reading: "", controls: [] };
}

export function is_done(reading: string, control: string): boolean {
  const turns = kept();
  return turns.reading === reading && turns.controls.includes(control);
}

export function note_done(reading: string, control: string): void {
  const turns = kept();
  const controls = turns.reading === reading ? turns.controls : [];
  try {
    localStorage.setItem(key, JSON.stringify({ reading, controls: [...controls, control] }));
  } catch {
    // As above.
  }
}
