import { beforeAll, describe, expect, it, vi } from "vitest";
import type { Figures, SeatAdvice, Trace } from "../src/api";

// The settings that words depend on live in a browser.
vi.stubGlobal("localStorage", { getItem: () => null, setItem: () => {} });
vi.stubGlobal("window", { matchMedia: () => ({ matches: false, addEventListener: () => {} }) });
vi.stubGlobal("document", { documentElement: { dataset: {} } });

let recording: typeof import("../src/recording/words");
let trace: typeof import("../src/recording/trace");
let seating: typeof import("../src/seating/words");
let settings: typeof import("../src/settings");
beforeAll(async () => {
  recording = await import("../src/recording/words");
  trace = await import("../src/recording/trace");
  seating = await import("../src/seating/words");
  settings = await import("../src/settings");
});

const part = (from: number, values: number[], width_s = 1): Trace => ({
  width_s,
  from,
  time_s: values,
  mean_ppm: values,
  low_ppm: values,
  high_ppm: values,
});

describe("the trace of a recording", () => {
  it("takes what events bring, and says when something in between was missed", () => {
    const joined = trace.joined(part(0, [0, 1, 2, 3]), part(3, [3.5, 4]));
    expect(joined?.mean_ppm).toEqual([0, 1, 2, 3.5, 4]);
    expect(trace.joined(part(0, [0, 1]), part(4, [4]))).toBeNull();
    expect(trace.joined(part(0, [0, 1]), part(1, [1], 2))).toBeNull(); // the stretches have grown
    expect(trace.joined(undefined, part(0, [7]))?.mean_ppm).toEqual([7]);
  });

  it("is not joined over a gap", () => {
    const columns = trace.columns(part(0, [0, 1, 90, 91]), 10);
    expect(columns.mean).toEqual([0, 10, null, 900, 910]);
    expect(columns.unit).toBe("minutes");
    expect(trace.columns(part(0, [0, 7200]), 1).time.at(-1)).toBe(2);
  });
});

describe("what a recording says", () => {
  const at = { field_T: 0.55, frequency_MHz: 23.4 };

  it("gives a rate in the unit chosen, that of a ramp in larger ones", () => {
    const slow = { value: 0.12, uncertainty: 0.01 };
    expect(recording.rate(slow, at)).toBe("0.120 ± 0.010 ppm/h");
    settings.unit.value = "MHz";
    expect(recording.rate(slow, at)).toBe("2.81 ± 0.23 Hz/h"); // 0.12 ppm of 23.4 MHz
    expect(recording.rate({ value: 36000, uncertainty: 40 }, at)).toBe("842.40 ± 0.94 kHz/h");
    settings.unit.value = "T";
    expect(recording.rate({ value: 36000, uncertainty: 40 }, at)).toBe("19.800 ± 0.022 mT/h");
    settings.unit.value = "ppm";
    expect(recording.rate(null, at)).toBe("not told yet");
  });

  it("names who does not lock", () => {
    const f = { probes: 24, locked: 22, unlocked_probes: [6, 9] } as Figures;
    expect(recording.locks(f)).toBe("22 of 24; probes 6 and 9 do not lock");
    expect(recording.locks({ ...f, probes: 1, locked: 1, unlocked_probes: [] })).toBe("the probe locks");
  });

  it("judges a drift with two standard uncertainties", () => {
    const limit = { id: "stability", measure: "drift" as const, limit: 0.1 };
    const judge = (value: number, uncertainty: number) => recording.judged({ value, uncertainty }, limit);
    expect([judge(-0.05, 0.01), judge(-0.13, 0.01), judge(0.09, 0.01), judge(0, 0.2)]).toEqual(["within", "beyond", "undecided", "undecided"]);
  });
});

describe("where the array is", () => {
  const advice: SeatAdvice = {
    seated: false,
    tolerance_mm: 0.5,
    angles_deg: [30],
    components: [
      { direction: [Math.cos(Math.PI / 6), 0.5, 0], move_mm: -2, uncertainty_mm: 0.1, towards: "210°", seen: true, within: false },
      { direction: [-0.5, Math.cos(Math.PI / 6), 0], move_mm: 0.4, uncertainty_mm: 15, towards: "120°", seen: false, within: false },
      { direction: [0, 0, 1], move_mm: 0.2, uncertainty_mm: 0.05, towards: "+z", seen: true, within: true },
    ],
    plus_z_end: null,
    misfit: 1,
    left_out_probes: [],
    lines: [],
  };

  it("is said where it is seen to be off, and nowhere else", () => {
    expect(seating.moves(advice)).toEqual([{ far: "2.0 mm", uncertainty: "± 0.1 mm", way: "towards 210°" }]);
  });

  it("is drawn opposite to the move, with the long axis of what is not seen", () => {
    const front = seating.placed(advice, 1, 0);
    expect(front.at[0]).toBeCloseTo(2 * 0.5); // along 90°
    expect(front.at[1]).toBeCloseTo(2 * Math.cos(Math.PI / 6)); // along 0°
    expect(front.half[0]).toBeCloseTo(30);
    expect(front.half[1]).toBeCloseTo(0.2);
    expect(((front.turn_deg % 180) + 180) % 180).toBeCloseTo(150); // 120° of the array, from 90° towards 0°
    expect(seating.placed(advice, 2, 0).at[0]).toBeCloseTo(-0.2);
  });
});
