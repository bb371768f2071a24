import type { SeatAdvice, SeatComponent, Seating } from "../api";
import { fixed } from "../format";
import type { Kind } from "../useLive";

// What a person at the bore is told while seating the array.

/** How the page follows it; after a restart of the program it begins anew where the array stands. */
export const SEATING: Kind<Seating> = {
  path: "seating",
  isLive: (s) => ["opening", "ready", "reading", "lost"].includes(s.phase),
  merged: (before, event) => ({ ...before, ...event }) as Seating,
  goOn: (before) => ({
    where: "",
    body: {
      reader: before.reader,
      earlier: before.earlier,
      to: before.to,
      tolerance_mm: before.tolerance_mm,
      angle_deg: before.angle_deg,
    },
  }),
  lookMs: 3000,
};

/** To the first digit that the uncertainty leaves standing, at most hundredths. */
function millimetres(c: SeatComponent): { value: string; uncertainty: string } {
  const decimals = c.uncertainty_mm < 0.095 ? 2 : 1;
  return { value: fixed(Math.abs(c.move_mm), decimals), uncertainty: fixed(c.uncertainty_mm, decimals) };
}

export interface Move {
  /** "2.4 mm" */
  far: string;
  uncertainty: string;
  /** "towards 180°" */
  way: string;
}

/** What is to be done, one entry for each direction in which it is seen to be off. */
export function moves(advice: SeatAdvice): Move[] {
  return advice.components
    .filter((c) => c.seen && !c.within)
    .filter((c) => Math.abs(c.move_mm) > advice.tolerance_mm || c.uncertainty_mm <= advice.tolerance_mm)
    .map((c) => {
      const { value, uncertainty } = millimetres(c);
      return { far: `${value} mm`, uncertainty: `± ${uncertainty} mm`, way: `towards ${c.towards}` };
    });
}

/** The word over the moves, and how loud it looks. */
export function stateOf(s: Seating): { word: string; look: "ready" | "reading" | "repeat" | "done" } {
  switch (s.phase) {
    case "opening":
      return { word: "Reading the earlier survey and calling the reader …", look: "reading" };
    case "lost":
      return { word: "The reader does not answer: trying again", look: "repeat" };
    case "complete":
      return { word: "Seated", look: "done" };
    case "ready":
      return { word: "Move it now, then go on", look: "ready" };
    default:
      return s.too_few
        ? { word: "Too few probes lock", look: "repeat" }
        : { word: s.advice ? "Move the array" : "Reading the array: hands off", look: "reading" };
  }
}

/** All of it as sentences for a voice. */
export function sentences(s: Seating): string[] {
  if (s.phase === "complete") {
    return ["Seated."];
  }
  return s.advice ? moves(s.advice).map((m) => `${m.far} ${m.way}.`.replace(/\+z|−z/g, (z) => (z === "+z" ? "plus z" : "minus z"))) : [];
}

export interface Ellipse {
  /** Where the array's centre is, as seen from where it should be, mm. */
  at: [number, number];
  /** Half axes, two standard uncertainties, mm; the first along `turn_deg`. */
  half: [number, number];
  turn_deg: number;
}

/** Where the array's centre is in a plane that two axes (0 x, 1 y, 2 z) span, with its uncertainty. */
export function placed(advice: SeatAdvice, right: number, up: number): Ellipse {
  let x = 0;
  let y = 0;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (const c of advice.components) {
    const a = c.direction[right] ?? 0;
    const b = c.direction[up] ?? 0;
    const known = c.seen ? c.move_mm : 0;
    x -= known * a;
    y -= known * b;
    const v = c.uncertainty_mm ** 2;
    xx += v * a * a;
    xy += v * a * b;
    yy += v * b * b;
  }
  const middle = (xx + yy) / 2;
  const apart = Math.hypot((xx - yy) / 2, xy);
  return {
    at: [x, y],
    half: [2 * Math.sqrt(middle + apart), 2 * Math.sqrt(Math.max(0, middle - apart))],
    turn_deg: (Math.atan2(2 * xy, xx - yy) / 2) * (180 / Math.PI),
  };
}

/** The scale of the drawing: the distance of its edge, mm. */
export function edge(advice: SeatAdvice): number {
  const far = Math.max(
    2 * advice.tolerance_mm,
    ...advice.components.filter((c) => c.seen).map((c) => 1.15 * Math.abs(c.move_mm) + Math.min(2 * c.uncertainty_mm, Math.abs(c.move_mm) + advice.tolerance_mm)),
  );
  return [1, 2, 5, 10, 20, 50].find((e) => e >= far) ?? 100;
}
