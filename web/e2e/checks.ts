import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Page } from "playwright-core";
import { expect } from "vitest";

// What every screen is held to.

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Nothing serious that axe-core (WCAG 2.2 rules) finds. */
export async function accessible(page: Page, where: string) {
  await page.evaluate(AXE);
  const found = await page.evaluate(async () => {
    // @ts-expect-error axe is put into the page as a script
    const result = await globalThis.axe.run(document, { resultTypes: ["violations"] });
    return result.violations
      .filter((v: { impact: string }) => v.impact === "serious" || v.impact === "critical")
      .map((v: { id: string; nodes: { html: string }[] }) => `${v.id}: ${v.nodes[0]?.html.slice(0, 160)}`);
  });
  expect(found, where).toEqual([]);
}

/** No part of the page reaches beyond the screen's width. */
export async function fits(page: Page, where: string) {
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  expect(wide, `${where} is wider than the screen by`).toBeLessThanOrEqual(0);
}
