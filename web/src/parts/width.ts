// The width a drawing may take, in CSS pixels, so that its text keeps its size on every screen.
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { RefObject } from "preact";

export function use_width<T extends HTMLElement>(least = 300): [RefObject<T | null>, number] {
  const ref = useRef<T>(null);
  const [width, set_width] = useState(least);
  useLayoutEffect(() => {
    const box = ref.current;
    if (!box) return;
    const measure = () => set_width(Math.max(least, Math.floor(box.clientWidth)));
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(box);
    return () => observer.disconnect();
  }, []);
  return [ref, width];
}
