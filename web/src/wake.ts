// Keeps the screen awake while a page asks for it, where the browser can; elsewhere nothing happens.
import { useEffect } from "preact/hooks";

export function use_awake(): void {
  useEffect(() => {
    let lock: WakeLockSentinel | undefined;
    let wanted = true;
    const ask = async () => {
      if (!wanted || document.visibilityState !== "visible" || !("wakeLock" in navigator)) return;
      try {
        lock = await navigator.wakeLock.request("screen");
        if (!wanted) await lock.release();
      } catch {
        // Refused when the battery is low: the screen then sleeps as usual.
      }
    };
    void ask();
    document.addEventListener("visibilitychange", ask);
    return () => {
      wanted = false;
      document.removeEventListener("visibilitychange", ask);
      void lock?.release();
    };
  }, []);
}
