// The two lights of the pages: "desk" by day, "red" at the telescope, and how bright. Kept in this browser only.
//
// Red mode has no green and no blue in any pixel, so every colour comes from the custom properties of style/tokens.css.

export type Light = "desk" | "red";

export interface Mode {
  light: Light;
  brightness: number; // 0.15 to 1
}

const key = "halfarc.mode";
const dimmest = 0.15;

// At night nobody should be blinded by a first visit.
function usual(hour: number): Mode {
  return { light: hour >= 8 && hour < 17 ? "desk" : "red", brightness: 1 };
}

function clamped(brightness: number): number {
  return Math.min(1, Math.max(dimmest, brightness));
}

export function read_mode(): Mode {
  const fallback = usual(new Date().getHours());
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(key) ?? "null");
    if (typeof kept !== "object" || kept === null) return fallback;
    const { light, brightness } = kept as Partial<Mode>;
    return {
      light: light === "desk" || light === "red" ? light : fallback.light,
      brightness: typeof brightness === "number" ? clamped(brightness) : 1,
    };
  } catch {
    return fallback; // storage may be forbidden or hold rubbish
  }
}

export function show_mode(mode: Mode): void {
  const root = document.documentElement;
  root.dataset["light"] = mode.light;
  root.style.setProperty("--dimming", String(1 - clamped(mode.brightness)));
  root.style.colorScheme = mode.light === "red" ? "dark" : "light";
  const ground = mode.light === "red" ? "#000000" : "#f3efe6";
  document.querySelector('meta[name="theme-color"]')?.setAttribute("content", ground);
}

export function keep_mode(mode: Mode): void {
  show_mode(mode);
  try {
    localStorage.setItem(key, JSON.stringify(mode));
  } catch {
    // Private windows may refuse; the mode then lasts as long as the page.
  }
}
