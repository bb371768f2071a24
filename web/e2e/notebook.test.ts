import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { accessible, fits } from "./checks";
import { browser, ROOT, SCREENS, type Serving, serve, stop } from "./serving";

const LAPTOP = { width: 1366, height: 768 };
const PHONE = { width: 390, height: 844 };

let serving: Serving;
let chrome: Browser;
let page: Page;
const complaints: string[] = [];

beforeAll(async () => {
  // The machine that builds is slow while a search takes every processor.
  serving = await serve();
  chrome = await browser();
  page = await chrome.newPage({ viewport: LAPTOP, bypassCSP: true, acceptDownloads: true });
  page.setDefaultTimeout(120_000);
  page.on("pageerror", (e) => complaints.push(e.message));
  page.on("console", (m) => m.type() === "error" && complaints.push(m.text()));
}, 300_000);

afterAll(async () => {
  await chrome?.close();
  if (serving) {
    expect(await stop(serving)).toBe(143);
  }
});

async function settled() {
  await page.waitForFunction(() => !document.querySelector('.waiting, [aria-busy="true"]'), undefined, { timeout: 120_000 });
}

describe("the whole job in a browser", () => {
  it("opens at once, empty, and says how to begin", async () => {
    const begun = performance.now();
    await page.goto(serving.url);
    await page.getByText("Nothing is kept here yet").waitFor();
    console.log(`server ready ${serving.ready.toFixed(0)} ms, first view ${(performance.now() - begun).toFixed(0)} ms`);
    await accessible(page, "the empty home");
    await page.screenshot({ path: join(SCREENS, "01-home-empty.png") });
  });

  it("adds the sample magnet with one click and opens its visit", async () => {
    await page.getByRole("button", { name: "Open the sample magnet" }).click();
    await page.getByRole("link", { name: /10 Mar 2026/ }).click({ timeout: 60_000 });
    await page.getByText("570 of 600 readings carry the field model").waitFor({ timeout: 60_000 });
    await page.getByText("probe 9 reads").waitFor();
    await settled();
    const bytes = await page.evaluate(() =>
      performance.getEntriesByType("resource").reduce((sum, r) => sum + (r as PerformanceResourceTiming).encodedBodySize, 0),
    );
    console.log(`transferred before the view in space: ${(bytes / 1000).toFixed(0)} kB packed`);
    expect(bytes).toBeLessThan(400_000);
    await accessible(page, "the visit");
    await fits(page, "the visit on a laptop");
    await page.screenshot({ path: join(SCREENS, "02-visit.png"), fullPage: true });
  });

  it("says why a reading is flagged, and everything follows when it is kept", async () => {
    const before = await page.locator("#limits .data").innerText();
    await page.getByRole("button", { name: "58", exact: true }).click();
    await page.getByText("times the usual misfit").waitFor();
    await page.locator("#trust tr", { hasText: "58" }).getByRole("button", { name: "Keep it" }).click();
    await page.getByText("571 of 600 readings").waitFor({ timeout: 60_000 });
    await expect.poll(() => page.locator("#limits .data").innerText(), { timeout: 60_000 }).not.toBe(before);
  });

  it("two people decide at once, and both decisions hold", async () => {
    const other = await chrome.newPage({ viewport: LAPTOP });
    await other.goto(`${serving.url}/#/kestrel-ridge/2026-03-10`);
    await other.getByText("571 of 600 readings").waitFor({ timeout: 60_000 });
    await other.locator("#trust tr", { hasText: "474" }).getByRole("button", { name: "Keep it" }).click();
    await other.getByText("572 of 600 readings").waitFor({ timeout: 60_000 });
    await other.close();
    const path = `${serving.url}/api/v1/magnets/kestrel-ridge/surveys/survey-1.csv/choices`;
    const first = await fetch(path);
    expect((await first.json()).keep).toEqual([58, 474]);
    const stale = await fetch(path, { method: "PUT", body: "{}", headers: { "If-Match": "an-older-one" } });
    expect(stale.status).toBe(412);
    const undone = await fetch(path, { method: "PUT", body: "{}", headers: { "If-Match": first.headers.get("ETag") ?? "" } });
    expect(undone.status).toBe(200);
    await page.reload();
    await page.getByText("570 of 600 readings").waitFor({ timeout: 60_000 });
    await settled();
  });

  it("shows the field in space, linked with the unrolled picture", async () => {
    await page.getByRole("button", { name: "Open the view in space" }).click();
    await page.locator(".ball canvas").waitFor({ timeout: 60_000 });
    await page.locator("#field .unrolled canvas").click({ position: { x: 200, y: 60 } });
    await page.locator("#field").getByText(/polar \d+\.\d°, azimuth/).waitFor();
    await page.locator("#field .unrolled canvas").press("ArrowRight");
    await page.waitForTimeout(2500);
    await page.locator("#field").screenshot({ path: join(SCREENS, "03-field-in-space.png") });
    await page.getByRole("button", { name: "Close the view in space" }).click();
  });

  it("shows what the magnet would be without a term", async () => {
    await page.getByRole("switch", { name: /^Z −?\d/ }).click();
    await page.getByText("Without Z:").waitFor({ timeout: 60_000 });
    await page.locator("#harmonics .what-if").getByText("imaging").waitFor();
    await page.locator("#harmonics").screenshot({ path: join(SCREENS, "04-without-z.png") });
    await page.getByRole("button", { name: "put every term back" }).click();
  });

  it("changes units and number formats in one place", async () => {
    await page.getByLabel("Units").selectOption("MHz");
    await page.locator("#limits").getByText("Hz").first().waitFor();
    await page.getByLabel("Numbers").selectOption("de");
    await page.getByText("23,42").first().waitFor();
    await page.getByLabel("Units").selectOption("ppm");
    await page.getByLabel("Numbers").selectOption("en");
  });

  it("searches for a plan that can be watched and stopped", async () => {
    await page.getByLabel("Seconds", { exact: true }).fill("600");
    await page.getByRole("button", { name: "Search for a plan" }).click();
    await page.getByText("best so far").first().waitFor({ timeout: 120_000 });
    await page.waitForTimeout(4000);
    await page.locator("#plan").screenshot({ path: join(SCREENS, "05-searching.png"), timeout: 120_000 });
    await page.getByRole("button", { name: "Stop and keep the best so far" }).click();
    await page.getByText("plan-1:").first().waitFor({ timeout: 120_000 });
    await settled();
    await page.locator("#plan").screenshot({ path: join(SCREENS, "06-plan.png") });
  });

  it("records the round, surveys again and compares", async () => {
    await page.locator("#round").getByLabel("By").fill("A. Tester");
    await page.getByRole("button", { name: "Record the round" }).click();
    await page.getByText("round 1 by A. Tester").waitFor({ timeout: 60_000 });
    await page.getByRole("button", { name: "Survey the sample as loaded" }).click();
    await page.getByText(/imaging went from .* was predicted/).waitFor({ timeout: 120_000 });
    await page.getByText("Learned strength").waitFor();
    await settled();
    await page.locator("#round").screenshot({ path: join(SCREENS, "07-round.png") });
    // The answer in the page is the program's own: the command line says the same.
    const folder = join(serving.data, "magnets", "kestrel-ridge");
    const said = JSON.parse(
      execFileSync(
        join(ROOT, "fieldwright"),
        ["assess", join(folder, "survey-2.csv"), "--magnet", join(folder, "magnet.yaml"), "--json"],
        { stdio: ["ignore", "pipe", "ignore"] },
      ).toString(),
    );
    const value = said.limits[0].value_ppm.toFixed(2);
    expect(await page.locator("#round .data").first().innerText()).toContain(value);
  });

  it("gives a report and evidence that verifies", async () => {
    for (const [button, ending] of [
      ["Report (PDF)", ".pdf"],
      ["Evidence (signed ZIP)", ".zip"],
    ] as const) {
      const coming = page.waitForEvent("download", { timeout: 120_000 });
      await page.getByRole("button", { name: button }).click();
      const file = join(SCREENS, `kestrel-ridge${ending}`);
      await (await coming).saveAs(file);
      if (ending === ".zip") {
        const verified = execFileSync(join(ROOT, "fieldwright"), ["verify", file], { stdio: ["ignore", "pipe", "ignore"] });
        expect(verified.toString()).toContain("agree");
      }
    }
  });

  it("fits a phone, in the dark, and prints", async () => {
    await page.setViewportSize(PHONE);
    await page.emulateMedia({ colorScheme: "dark" });
    await page.waitForTimeout(800);
    await fits(page, "the visit on a phone");
    await accessible(page, "the visit in the dark");
    await page.screenshot({ path: join(SCREENS, "08-phone-dark.png"), fullPage: true });
    await page.setViewportSize(LAPTOP);
    await page.emulateMedia({ colorScheme: "light" });
    await page.pdf({ path: join(SCREENS, "09-print.pdf"), format: "A4" });
    await page.goto(`${serving.url}/#/kestrel-ridge`);
    await page.getByText("What changed between two surveys?").waitFor({ timeout: 60_000 });
    await settled();
    await accessible(page, "the magnet");
    await page.screenshot({ path: join(SCREENS, "10-magnet.png"), fullPage: true });
  });

  it("guesses an unknown header, and the confirmed table is a survey", async () => {
    const foreign = readFileSync(join(serving.data, "magnets", "kestrel-ridge", "survey-1.csv"), "utf8").replace(
      "angle_deg,probe,frequency_MHz",
      "Winkel,Sonde,Larmor [MHz]",
    );
    await page.locator('input[type="file"]').setInputFiles({ name: "fremd.csv", mimeType: "text/csv", buffer: Buffer.from(foreign) });
    await page.getByText("What are the columns of fremd.csv?").waitFor({ timeout: 60_000 });
    await expect.poll(() => page.getByLabel("meaning of Winkel").inputValue()).toBe("angle_deg");
    await page.locator(".section", { hasText: "fremd.csv" }).first().screenshot({ path: join(SCREENS, "11-columns.png") });
    await page.getByRole("button", { name: "Confirm the columns" }).click();
    await expect
      .poll(async () => (await (await fetch(`${serving.url}/api/v1/magnets/kestrel-ridge`)).json()).files.map((f: { file: string; kind: string }) => `${f.file} ${f.kind}`), { timeout: 60_000 })
      .toContain("fremd-read.csv survey");
  });

  it("a file that is no survey is refused in words", async () => {
    await page.goto(`${serving.url}/`);
    await page.locator('input[type="file"]').setInputFiles({ name: "notes.txt", mimeType: "text/plain", buffer: Buffer.from("hello") });
    await page.getByText("No magnet file among them").waitFor();
    await page.screenshot({ path: join(SCREENS, "12-refused.png") });
    expect(complaints).toEqual([]);
  });
});
