import type { Capture, CaptureAngle } from "../api";
import { count, fixed } from "../format";
import { numbers } from "../settings";
import type { Kind } from "../useLive";

// What the caller shows, says and sounds, as functions of where the capture stands.

export type Tone = "ready" | "reading" | "done" | "repeat";

export type DialState = "open" | "next" | "done" | "repeat";

/** An angle as people write it: 90°, 7.5°. */
export function degrees(angle: number): string {
  const decimals = Number.isInteger(angle) ? 0 : Math.abs(angle * 10 - Math.round(angle * 10)) < 1e-6 ? 1 : 2;
  return `${fixed(angle, decimals)}°`;
}

/** A sentence as a voice should read it. */
export function spoken(text: string): string {
  return (numbers.value === "en" ? text : text.replace(/(\d),(?=\d)/g, "$1.")) // the voice speaks English
    .replaceAll("°", " degrees")
    .replaceAll("±", " plus or minus ")
    .replaceAll("ppm/h", "p p m per hour")
    .replaceAll("ppm", "p p m")
    .replace(/[−-](?=\d)/g, "minus ")
    .replace(/\+(?=\d)/g, "plus ")
    .replace(/\s+/g, " ")
    .trim();
}

/** Time as a person at the bore wants it. */
export function timeLeft(seconds: number | null | undefined): string | null {
  if (seconds === null || seconds === undefined) {
    return null;
  }
  return seconds < 90 ? `${count(seconds)} s left` : `${count(seconds / 60)} min left`;
}

export function isLive(capture: Capture | null): boolean {
  return !!capture && ["opening", "ready", "reading", "lost", "complete"].includes(capture.phase);
}

/** How the page follows a survey. */
export const CAPTURE: Kind<Capture> = {
  path: "capture",
  isLive,
  merged: (before, event) => ({ ...before, ...event, next: event.next }) as Capture,
  goOn: (before, now) =>
    before.survey && now.unfinished?.includes(before.survey) ? { where: "/resume", body: { survey: before.survey } } : null,
  lookMs: 3000,
};

/** Whether two angles are one setting of the array. */
export function same(a: number, b: number): boolean {
  const apart = (((a - b) % 360) + 360) % 360;
  return Math.min(apart, 360 - apart) < 0.01;
}

export function dialState(angle: CaptureAngle, capture: Capture): DialState {
  if (capture.next && same(capture.next.angle_deg, angle.angle_deg)) {
    return "next";
  }
  if (!angle.taken) {
    return "open";
  }
  const again = capture.standing?.some((r) => r.asks_again && r.angle_deg !== null && same(r.angle_deg, angle.angle_deg));
  return again ? "repeat" : "done";
}

/** The one word over the numerals, and how loud it looks. */
export function stateOf(capture: Capture): { word: string; look: "ready" | "reading" | "repeat" | "done" } {
  switch (capture.phase) {
    case "opening":
      return { word: "Calling the reader …", look: "reading" };
    case "reading":
      return { word: `Reading ${capture.probes_read ?? 0} of ${capture.probes ?? 0} probes: hands off`, look: "reading" };
    case "lost":
      return { word: "The reader does not answer: trying again", look: "repeat" };
    case "complete":
      return { word: "Everything is read", look: "done" };
    default:
      break;
  }
  if (capture.advance?.kind === "settled" && capture.advance.turn === "turning") {
    return { word: "Turning: it is read when it rests", look: "ready" };
  }
  const next = capture.next;
  if (next?.failed_only) {
    return { word: "Turn back to, for the probes that did not lock", look: "repeat" };
  }
  return { word: next?.revisit ? "Ready: turn once more to" : "Ready: turn to", look: "ready" };
}

/** What is asked for next, as a sentence. */
export function prompt(capture: Capture): string {
  if (capture.phase === "complete") {
    return "Everything is read. Save the survey.";
  }
  if (!capture.next) {
    return "";
  }
  const angle = degrees(capture.next.angle_deg);
  if (capture.next.failed_only) {
    return `Back to ${angle}, for the probes that did not lock.`;
  }
  return capture.next.revisit ? `Once more ${angle}.` : `Turn to ${angle}.`;
}

/** What is to be heard when a capture went from one state to another. */
export function heard(before: Capture | null, now: Capture): { tones: Tone[]; say: string[] } {
  if (!isLive(now) || (before && before.phase === now.phase && before.next?.number === now.next?.number && sameCall(before, now))) {
    return { tones: [], say: [] };
  }
  if (now.phase === "reading") {
    return { tones: before?.phase === "reading" || before?.phase === "lost" ? [] : ["reading"], say: [] };
  }
  if (now.phase === "lost") {
    return before?.phase === "lost" ? { tones: [], say: [] } : { tones: ["repeat"], say: ["The reader does not answer. It is tried again."] };
  }
  if (now.phase === "opening") {
    return { tones: [], say: [] };
  }
  const read = before !== null && isLive(before) && before.phase !== "opening" && readSomething(before, now);
  const remarks = read ? (now.said ?? []).filter((r) => r.kind !== "note") : [];
  const again = remarks.some((r) => r.asks_again);
  return {
    tones: [...(read ? [again ? "repeat" : "done"] as Tone[] : []), "ready"],
    say: [...remarks.map((r) => r.text), prompt(now)],
  };
}

function sameCall(a: Capture, b: Capture): boolean {
  return a.next?.failed_only === b.next?.failed_only && a.done === b.done;
}

function readSomething(before: Capture, now: Capture): boolean {
  const repeated = before.next?.failed_only === true && now.next?.failed_only !== true && now.done === before.done;
  return before.phase === "reading" || before.phase === "lost" || repeated || (now.done ?? 0) > (before.done ?? 0);
}
