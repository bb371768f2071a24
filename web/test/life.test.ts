import { describe, expect, it, vi } from "vitest";
import type { Life, LifeSurvey } from "../src/api";
import { fixed } from "../src/format";
import { decaySentence, lifeAnswer, repeatabilitySentence } from "../src/sentences";

vi.mock("../src/settings", () => ({ numbers: { value: "en" }, unit: { value: "ppm" } }));

const survey = (file: string): LifeSurvey => ({ file, visit: "v", time: "2026-03-11T08:00:00Z", limits: [], judgement: null });
const answer = (...surveys: LifeSurvey[]) => lifeAnswer({ surveys } as unknown as Life);

describe("a life that has just begun", () => {
  it("is told by what is plotted", () => {
    expect(answer(survey("a.csv"))).toMatch(/^One survey so far/);
    expect(answer(survey("a.csv"), survey("b.csv"))).toMatch(/^One visit so far, surveyed 2 times/);
    expect(answer({ ...survey("a.csv"), time: null })).toMatch(/^No survey/);
  });

  it("counts one in the singular", () => {
    const decay = { from: "2026-03-11T08:00:00Z", to: "2026-03-11T08:00:00Z", ppm_per_year: null } as Life["decays"][number];
    expect(decaySentence({ ...decay, surveys: 1 })).toBe("On 11 Mar 2026: one survey, which tells no rate of the centre field.");
    expect(decaySentence({ ...decay, surveys: 2 })).toBe("On 11 Mar 2026: 2 surveys, which tell no rate of the centre field.");
    const repeatability = { visits: 1, known: false } as NonNullable<Life["repeatability"]>;
    expect(repeatabilitySentence(repeatability)).toMatch(/^From one visit /);
  });
});

describe("a number", () => {
  it("that rounds to zero has no sign", () => {
    expect(fixed(-1e-17, 0)).toBe("0");
    expect(fixed(-0, 2)).toBe("0.00");
    expect(fixed(-0.004, 2)).toBe("0.00");
    expect(fixed(-0.006, 2)).toBe("−0.01");
  });
});
