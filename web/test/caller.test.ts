import { beforeAll, describe, expect, it, vi } from "vitest";
import type { Capture } from "../src/api";

// The settings that words depend on live in a browser.
vi.stubGlobal("localStorage", { getItem: () => null, setItem: () => {} });
vi.stubGlobal("window", { matchMedia: () => ({ matches: false, addEventListener: () => {} }) });
vi.stubGlobal("document", { documentElement: { dataset: {} } });

let words: typeof import("../src/caller/words");
beforeAll(async () => {
  words = await import("../src/caller/words");
});

const READY: Capture = {
  phase: "ready",
  done: 3,
  of: 9,
  next: { angle_deg: 105, revisit: false, failed_only: false, number: 4 },
  said: [],
  standing: [],
  angles: [],
};
const REPEAT = { kind: "lock", angle_deg: 90, asks_again: true, text: "Repeat 90°: probe 7 did not lock." } as const;
const DRIFT = { kind: "drift", angle_deg: null, asks_again: false, text: "Drift +0.30 ± 0.02 ppm/h." } as const;

describe("what is heard", () => {
  it("is nothing while probes are read, and one low note when that begins", () => {
    const reading = { ...READY, phase: "reading" as const, probes_read: 1 };
    expect(words.heard(READY, reading)).toEqual({ tones: ["reading"], say: [] });
    expect(words.heard(reading, { ...reading, probes_read: 2 })).toEqual({ tones: [], say: [] });
  });

  it("is done, ready and the next angle after a good reading, even if its beginning was not seen", () => {
    const after = { ...READY, done: 4, next: { angle_deg: 7.5, revisit: false, failed_only: false, number: 5 }, said: [] };
    const expected = { tones: ["done", "ready"], say: ["Turn to 7.5°."] };
    expect(words.heard({ ...READY, phase: "reading" }, after)).toEqual(expected);
    expect(words.heard(READY, after)).toEqual(expected);
  });

  it("is repeat, and what, after a bad one", () => {
    const after = { ...READY, done: 4, next: { angle_deg: 0, revisit: true, failed_only: false, number: 5 }, said: [REPEAT, DRIFT] };
    expect(words.heard({ ...READY, phase: "reading" }, after)).toEqual({
      tones: ["repeat", "ready"],
      say: [REPEAT.text, DRIFT.text, "Once more 0°."],
    });
  });

  it("is a drift once it is told, as a voice says it", () => {
    const after: Capture = { ...READY, phase: "complete", done: 9, said: [DRIFT] };
    delete after.next;
    expect(words.heard(READY, after).say.map(words.spoken)).toEqual([
      "Drift plus 0.30 plus or minus 0.02 p p m per hour.",
      "Everything is read. Save the survey.",
    ]);
  });

  it("is a repeat once when the reader is lost, and nothing from a survey that has ended", () => {
    expect(words.heard(READY, { ...READY, phase: "lost" }).tones).toEqual(["repeat"]);
    expect(words.heard({ ...READY, phase: "lost" }, { ...READY, phase: "reading" }).tones).toEqual([]);
    expect(words.heard({ ...READY, phase: "reading" }, { ...READY, phase: "lost" }).tones).toEqual(["repeat"]);
    expect(words.heard(READY, { ...READY, phase: "stopped" })).toEqual({ tones: [], say: [] });
  });
});

describe("the dial", () => {
  it("shows what is open, next, read and to be repeated, over the full turn", () => {
    const capture = { ...READY, standing: [REPEAT], next: { angle_deg: 0, revisit: true, failed_only: false, number: 9 } };
    const state = (angle_deg: number, taken: boolean) => words.dialState({ angle_deg, taken, silent: [] }, capture);
    expect([state(360, true), state(90, true), state(90, false), state(180, true)]).toEqual(["next", "repeat", "open", "done"]);
  });

  it("writes angles and times as people do", () => {
    expect([90, 7.5, 33.333].map(words.degrees)).toEqual(["90°", "7.5°", "33.33°"]);
    expect([null, 89, 600].map(words.timeLeft)).toEqual([null, "89 s left", "10 min left"]);
  });
});
