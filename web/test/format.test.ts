import { beforeEach, describe, expect, it, vi } from "vitest";
import { count, fixed, prose } from "../src/format";
import { freedSentence, limitsAnswer, trustAnswer } from "../src/sentences";
import { spoken } from "../src/caller/words";

const settings = vi.hoisted(() => ({ numbers: { value: "en" }, unit: { value: "ppm" } }));
vi.mock("../src/settings", () => settings);

// The forms are those of Unicode CLDR, the same that the program prints (NumeralsTest.java).
describe("a number in another way of writing", () => {
  beforeEach(() => {
    settings.numbers.value = "en";
  });

  it("has the country's marks", () => {
    expect(fixed(-1234567.891, 2)).toBe("−1,234,567.89");
    settings.numbers.value = "de";
    expect(fixed(-1234567.891, 2)).toBe("−1.234.567,89");
    settings.numbers.value = "fr";
    expect(fixed(-1234567.891, 2)).toBe("−1\u202f234\u202f567,89");
    expect(count(12345)).toBe("12\u202f345");
  });

  it("is found in a sentence of the program, where names and dates stay", () => {
    const said = "Off by -0.5 ppm (1.25 ± 0.10); 1234.5 at 90.0°, 3.0 times 2.5, +3345.8 (+0.5).";
    const names = "visit-2.5.csv, log.1.csv and 9.3.2 of v1.2 on 2026-03-02";
    expect(prose(names)).toBe(names);
    settings.numbers.value = "de";
    expect(prose(said)).toBe("Off by −0,5 ppm (1,25 ± 0,10); 1.234,5 at 90,0°, 3,0 times 2,5, +3.345,8 (+0,5).");
    expect(prose(names)).toBe(names);
  });

  it("is spoken in English all the same", () => {
    settings.numbers.value = "de";
    expect(spoken("Turn to 7,5°.")).toBe("Turn to 7.5 degrees.");
    settings.numbers.value = "en";
    expect(spoken("1,200 ppm")).toBe("1,200 p p m");
  });
});

describe("sentences about limits and readings", () => {
  it("say what was carried in the fit beside the field", () => {
    settings.numbers.value = "de";
    expect(freedSentence({ what: "probe_offset", probe: 3, value: 0.0512, uncertainty: 0.012 })).toBe("Probe 3 reads off by 0,051 ± 0,012 ppm.");
    expect(freedSentence({ what: "angle_error", angle_deg: 60, value: -1.5, uncertainty: 0.25 })).toBe(
      "At 60,0° the array stood −1,50 ± 0,25° further than stated.",
    );
    expect(freedSentence({ what: "drift", value: 0.3, uncertainty: 0.04 })).toBe("A drift of 0,300 ± 0,040 ppm per hour beyond what revisits show.");
    settings.numbers.value = "en";
  });

  it("need no plural", () => {
    expect(limitsAnswer(0, [], [])).toMatch(/states no limit/);
    expect(limitsAnswer(2, ["a"], ["b"])).toBe("No. Not met: a. Not decided by this survey: b.");
    expect(limitsAnswer(1, [], ["b"])).toMatch(/^It cannot be said.*: b\.$/);
    const survey = { used: 570, readings: 1600, revisits: 12, set_aside: [{}] } as unknown as Parameters<typeof trustAnswer>[0];
    expect(trustAnswer(survey, [])).toBe("570 of 1,600 readings carry the field model. Taken again for the drift: 12. Set aside: 1.");
    expect(trustAnswer(survey, ["probe 3", "probe 4", "probe 5"])).toMatch(/first: probe 3, probe 4 and 1 more\.$/);
  });
});
