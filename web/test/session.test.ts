import { describe, expect, it } from "vitest";
import { may, whyNot } from "../src/session";

describe("what a role may do", () => {
  it("covers the roles before it", () => {
    const roles = ["see", "measure", "sign"] as const;
    const table = roles.map((own) => roles.map((role) => may(role, own)));
    expect(table).toEqual([
      [true, false, false],
      [true, true, false],
      [true, true, true],
    ]);
    expect(may("see", null)).toBe(false);
  });

  it("is said where it does not reach", () => {
    expect(whyNot("Recording a round", "measure", "see")).toBe("Recording a round takes the role “measure”; yours is “see”.");
    expect(whyNot("Recording a round", "measure", "sign")).toBe("");
  });
});
