import { describe, expect, it, vi } from "vitest";
import type { OutsideIron, OutsideLook, OutsideSource } from "../src/api";
import { scaleOf, semiAxes } from "../src/charts/outside";
import { answerOf, grams, lookingOf, nextOf } from "../src/sections/outsideWords";

vi.mock("../src/settings", () => ({ numbers: { value: "en" }, unit: { value: "ppm" } }));

const PIECE: OutsideSource = {
  at_mm: [300, 150, -371],
  uncertainty_mm: [1, 1, 1],
  from_centre_mm: 500,
  from_axis_mm: 335,
  azimuth_deg: 27,
  ellipsoid_95_mm: [
    [3, 0, 4],
    [0, 0.2, 0],
    [0.08, 0, -0.06],
  ],
  iron_g: 12.34,
  iron_uncertainty_g: 0.87,
  along_field: true,
};

function found(more: Partial<OutsideIron>): OutsideIron {
  return {
    survey: "b.csv",
    since: "a.csv",
    basis: "difference",
    stopped: false,
    readings: 576,
    read_to_mm: 200,
    verdict: "located",
    moments: "along_field",
    degree: 2,
    scatter_ppm: 0.02,
    left_ppm: 0.02,
    sources: [PIECE],
    elsewhere: [],
    evidence: [],
    least: [],
    bore: { radius_mm: 360, half_length_mm: 450 },
    warnings: [],
    ...more,
  };
}

describe("iron outside", () => {
  it("says how much and where in one sentence", () => {
    expect(answerOf(found({}))).toBe("Yes: one piece, about 12.34 ± 0.87 g of iron 0.50 m from the centre, on the −z side.");
    expect(answerOf(found({ sources: [PIECE, PIECE] }))).toContain("2 pieces");
  });

  it("gives no place where the readings give none", () => {
    const answer = answerOf(found({ verdict: "not_located" }));
    expect(answer).toContain("cannot tell where");
    expect(answer).not.toMatch(/\d/);
    expect(answerOf(found({ verdict: "nothing_seen", sources: [] }))).toContain("Nothing");
    expect(nextOf(found({ verdict: "nothing_seen", sources: [], since: null }))).toContain("earlier survey");
  });

  it("does not say that nothing is there where it was stopped", () => {
    const stopped = found({ verdict: "nothing_seen", sources: [], stopped: true });
    expect(answerOf(stopped)).toContain("till the search was stopped");
    expect(nextOf(stopped)).toContain("Look again");
    expect(answerOf(found({ stopped: true }))).toContain("one piece");
  });

  it("says how far the search is", () => {
    const look: OutsideLook = { id: "search-1", survey: "b.csv", since: null, state: "waiting", stage: "", seconds: 0.3, complaint: null, answer: null };
    expect(lookingOf(look)).toBe("Waiting for its turn.");
    expect(lookingOf({ ...look, state: "searching" })).toBe("Reading the surveys, 0 s.");
    expect(lookingOf({ ...look, state: "searching", stage: "Looking for 2 outside, magnetised any way", seconds: 4.2 })).toBe(
      "Looking for 2 outside, magnetised any way, 4 s.",
    );
  });

  it("writes heavy iron in kilograms", () => {
    expect(grams(2345, 120)).toBe("2.35 ± 0.12 kg");
    expect(grams(0.0371)).toBe("0.037 g");
  });

  it("takes everything into the view", () => {
    expect(scaleOf(found({}))).toBeCloseTo(Math.hypot(360, 450), 9);
    expect(scaleOf(found({ bore: null }))).toBe(500);
    expect(scaleOf(found({ bore: null, sources: [] }))).toBe(200);
  });

  it("draws an ellipsoid that can be seen, along its own axes", () => {
    const axes = semiAxes(PIECE.ellipsoid_95_mm, 1, 4);
    expect(axes[0]).toEqual([2.4000000000000004, 0, 3.2]); // 5 mm long, shown as 4
    expect(axes[1]).toEqual([0, 1, 0]); // 0.2 mm, shown as 1
    expect(Math.hypot(...(axes[2] as [number, number, number]))).toBeCloseTo(1, 9);
  });
});
