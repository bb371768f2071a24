import { useEffect, useRef } from "preact/hooks";
import { speech, tones } from "../settings";

// What a page needs that is worked with from the bore: keys, sound, a screen that stays lit.

/** Keys of keyboards, presenters and foot pedals that go on to what comes next. */
export const ONWARD = [" ", "Enter", "PageDown", "ArrowRight", "ArrowDown"];

/** Whether the page sounds and speaks. */
export function Sounds() {
  return (
    <>
      <label class="inline">
        <input type="checkbox" checked={tones.value === "on"} onChange={(e) => (tones.value = e.currentTarget.checked ? "on" : "off")} />
        Tones
      </label>
      <label class="inline">
        <input type="checkbox" checked={speech.value === "on"} onChange={(e) => (speech.value = e.currentTarget.checked ? "on" : "off")} />
        Speech
      </label>
    </>
  );
}

/** Keys anywhere on the page, but for those that a control under the focus needs itself. */
export function useKeys(on: boolean, pressed: (key: string) => boolean) {
  const latest = useRef(pressed);
  latest.current = pressed;
  useEffect(() => {
    const listen = (e: KeyboardEvent) => {
      const target = e.target as HTMLElement;
      const typing = target.matches?.("input, select, textarea, [data-angle]");
      const presses = (e.key === " " || e.key === "Enter") && target.matches?.("button, a, summary");
      if (!on || typing || presses || e.repeat || e.ctrlKey || e.altKey || e.metaKey) {
        return;
      }
      if (latest.current(e.key)) {
        e.preventDefault();
      }
    };
    window.addEventListener("keydown", listen);
    return () => window.removeEventListener("keydown", listen);
  }, [on]);
}

/** Keeps the screen lit, where the browser can; it has to be asked again when the page comes back. */
export function useWakeLock() {
  useEffect(() => {
    let lock: WakeLockSentinel | null = null;
    const ask = () => {
      if (document.visibilityState === "visible") {
        navigator.wakeLock?.request("screen").then(
          (l) => (lock = l),
          () => {}, // the battery is low, or it is not allowed: the screen may go dark
        );
      }
    };
    ask();
    document.addEventListener("visibilitychange", ask);
    return () => {
      document.removeEventListener("visibilitychange", ask);
      void lock?.release();
    };
  }, []);
}
