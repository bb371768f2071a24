import { describe, expect, it, vi } from "vitest";
import type { Magnet } from "../src/api";
import { query } from "../src/api";
import { roundsOf } from "../src/sections/PapersSection";

vi.mock("../src/settings", () => ({ numbers: { value: "en" }, unit: { value: "ppm" } }));

const plan = (survey: string, changes: string) => ({ id: changes, changes, plan: { survey } });

describe("the rounds of a visit", () => {
  it("go from survey to survey, a last plan waiting", () => {
    const magnet = { plans: [plan("a.csv", "p1.csv"), plan("a.csv", "p2.csv"), plan("c.csv", "p3.csv")] } as unknown as Magnet;
    expect(roundsOf(magnet, ["a.csv", "b.csv", "c.csv"])).toEqual([
      { changes: "p2.csv", after: "b.csv" },
      { changes: "", after: "c.csv" },
      { changes: "p3.csv", after: "" },
    ]);
    expect(roundsOf({ plans: [] } as unknown as Magnet, ["a.csv"])).toEqual([]);
  });

  it("keep their places in a query", () => {
    expect(query({ survey: "a", changes: ["", "p"], after: ["b", ""], site: "" })).toBe("?survey=a&changes=&changes=p&after=b&after=");
  });
});
