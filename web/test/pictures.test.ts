import { describe, expect, it } from "vitest";
import type { Surface } from "../src/api";
import { contour, roundStep, valueAt } from "../src/charts/surface";
import { diverging } from "../src/colours";
import { fileName, magnetId } from "../src/drop";

/** cos θ on a sphere: its own closed form at every place. */
function cosine(): Surface {
  const polar_steps = 72;
  const azimuth_steps = 144;
  const ppm: number[] = [];
  for (let i = 0; i <= polar_steps; i++) {
    for (let j = 0; j <= azimuth_steps; j++) {
      ppm.push(Math.cos((Math.PI * i) / polar_steps));
    }
  }
  return { polar_steps, azimuth_steps, ppm, r_mm: 200 };
}

describe("the unrolled surface", () => {
  it("gives the value at a place between grid points", () => {
    // Linear between points 2.5° apart: wrong by at most h²/8.
    const bound = (2.5 * Math.PI) ** 2 / 180 ** 2 / 8;
    for (const polarDeg of [0, 1, 33.3, 90, 178.9, 180]) {
      for (const azimuthDeg of [-10, 0, 359.9, 360, 725]) {
        const exact = Math.cos((polarDeg * Math.PI) / 180);
        expect(Math.abs(valueAt(cosine(), { polarDeg, azimuthDeg }) - exact)).toBeLessThanOrEqual(bound + 1e-12);
      }
    }
  });

  it("draws the line cos θ = 0.5 at 60°, once around", () => {
    const lines = contour(cosine(), 0.5);
    expect(lines).toHaveLength(144);
    for (const [i0, , i1] of lines) {
      expect(i0 * 2.5).toBeCloseTo(60, 1);
      expect(i1 * 2.5).toBeCloseTo(60, 1);
    }
  });

  it("steps in round numbers", () => {
    expect(roundStep(100, 10)).toBe(10);
    expect(roundStep(47, 12)).toBe(5);
    expect(roundStep(1.1, 6)).toBeCloseTo(0.2, 12);
  });
});

describe("the colours", () => {
  /** Relative luminance, WCAG 2.2. */
  const luminance = ([r, g, b]: [number, number, number]) => {
    const f = (c: number) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4);
    return 0.2126 * f(r) + 0.7152 * f(g) + 0.0722 * f(b);
  };

  it("darken with size on light paper and brighten on dark, alike on both sides", () => {
    for (const side of [-1, 1]) {
      for (let t = 0.1; t < 0.95; t += 0.1) {
        expect(luminance(diverging(side * (t + 0.1), false))).toBeLessThan(luminance(diverging(side * t, false)));
        expect(luminance(diverging(side * (t + 0.1), true))).toBeGreaterThan(luminance(diverging(side * t, true)));
      }
    }
    expect(Math.abs(luminance(diverging(-0.8, false)) - luminance(diverging(0.8, false)))).toBeLessThan(0.08);
  });

  it("keep the sign apart for who sees no red or no green", () => {
    // Blue against yellow is what both kinds still see: the blue share must differ in sign.
    const [r, , b] = diverging(-0.7, false);
    const [r2, , b2] = diverging(0.7, false);
    expect(b - r).toBeGreaterThan(60);
    expect(r2 - b2).toBeGreaterThan(60);
  });
});

describe("dropped files", () => {
  it("get names that every file system takes", () => {
    expect(fileName("Messung 3 (neu).CSV")).toBe("Messung-3-neu.csv");
    expect(fileName("../../etc/passwd")).toBe("passwd.txt");
    expect(fileName("übung.xlsx")).toBe("u-bung.xlsx");
    expect(fileName("...csv")).toBe("file.csv");
  });

  it("name a magnet by its serial, else by its name", () => {
    expect(magnetId("magnet:\n  name: Kestrel Ridge\n  serial: KR-055-07\n")).toBe("kr-055-07");
    expect(magnetId("magnet:\n  name: Kestrel Ridge # invented\n")).toBe("kestrel-ridge");
    expect(magnetId("")).toBe("magnet");
  });
});
