import type { ChildProcess } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { accessible, fits } from "./checks";
import { DEMO, freePort, PROFILE, putArray, startReader } from "./reader";
import { browser, SCREENS, type Serving, serve, stop } from "./serving";

const LAPTOP = { width: 1366, height: 768 };
const PHONE = { width: 390, height: 844 };

let serving: Serving;
let chrome: Browser;
let page: Page;
let ramping: ChildProcess;
let steady: ChildProcess;
let steadyPort: number;
const complaints: string[] = [];

/** The magnet of the demonstration with a reader that is quick. */
function scenario(name: string, reader: string): string {
  const work = mkdtempSync(join(tmpdir(), `fieldwright-${name}-`));
  for (const file of ["magnet.yaml", "installed.csv"]) {
    cpSync(join(DEMO, file), join(work, file));
  }
  const text = readFileSync(join(DEMO, "scenario.yaml"), "utf8")
    .replaceAll("seconds_per_reading: 1.5", "seconds_per_reading: 0")
    .replace("# Loaded", `reader: ${reader}\n\n# Loaded`);
  writeFileSync(join(work, "scenario.yaml"), text);
  return join(work, "scenario.yaml");
}

beforeAll(async () => {
  serving = await serve();
  const magnet = `${serving.url}/api/v1/magnets/kestrel-ridge`;
  await fetch(`${serving.url}/api/v1/sample`, { method: "POST" });
  const rampingPort = await freePort();
  ramping = await startReader(scenario("ramp", "{dead_probes: [6], ramp: {from_A: 96, to_A: 100, minutes: 6}}"), rampingPort);
  steadyPort = await freePort();
  steady = await startReader(scenario("steady", "{cut_rate: 0}"), steadyPort);
  const profile = readFileSync(PROFILE, "utf8");
  const current = `reader: supply\ntransport: {kind: tcp, host: localhost, port: ${rampingPort}}\nread: {ask: "MEASure:CURRent?", answer: [value], value_unit: A}\n`;
  for (const [file, body] of [
    ["ramping.yaml", profile.replace("port: 5055", `port: ${rampingPort}`)],
    ["steady.yaml", profile.replace("port: 5055", `port: ${steadyPort}`)],
    ["supply.yaml", current],
  ]) {
    expect((await fetch(`${magnet}/files/${file}`, { method: "PUT", body: body ?? "" })).ok).toBe(true);
  }
  chrome = await browser();
  page = await chrome.newPage({ viewport: LAPTOP, bypassCSP: true, reducedMotion: "reduce" });
  page.setDefaultTimeout(60_000);
  page.on("pageerror", (e) => complaints.push(e.message));
}, 300_000);

afterAll(async () => {
  await chrome?.close();
  for (const reader of [ramping, steady]) {
    reader?.removeAllListeners("exit");
    reader?.kill();
  }
  if (serving) {
    expect(await stop(serving)).toBe(143);
  }
});

describe("the field is watched, and the array seated, in the notebook", () => {
  it("records a ramp with its alarm, the lost lock and the field per ampere, and keeps the log", async () => {
    await page.goto(`${serving.url}/#/kestrel-ridge`);
    const visits = page.locator("#visits");
    await visits.getByText("Record the field against time now").click();
    await visits.getByLabel("Reader").selectOption("ramping.yaml");
    await visits.getByLabel("Probe").selectOption("");
    await visits.getByLabel("Seconds between readings").fill("0.1");
    await visits.getByLabel("Alarm beyond, ppm").fill("5");
    await visits.getByText("While the field is run up or down").click();
    await visits.getByLabel("Current of the magnet").selectOption("supply.yaml");
    await visits.getByLabel("Where it leads, MHz").fill("23.6");
    await visits.getByRole("button", { name: "Start recording" }).click();
    await visits.getByText("23 of 24; probe 6 does not lock").waitFor();
    await visits.getByRole("alert").getByText("from its first reading; the limit is 5.0 ppm").waitFor();
    // At 100 A the field is that of the scenario, so an ampere makes a hundredth of it.
    const ampere = visits.getByText(/^5\.\d+ ± \S+ mT\/A$/);
    await ampere.waitFor();
    expect(Number.parseFloat(await ampere.innerText())).toBeCloseTo(5.5008, 1);
    await page.getByLabel("Units").selectOption("T");
    await visits.getByText(/ mT\/h$/).waitFor();
    await page.getByLabel("Units").selectOption("ppm");
    await accessible(page, "while it is recorded");
    await fits(page, "the recording on a laptop");
    await page.screenshot({ path: join(SCREENS, "30-recording.png") });
    await page.setViewportSize(PHONE);
    await fits(page, "the recording on a phone");
    await page.setViewportSize(LAPTOP);
    await visits.getByRole("button", { name: "Stop, and keep the log" }).click();
    await visits.getByText("Saved as log-2.csv").waitFor();
    await page.getByRole("link", { name: "See what it says of the stability" }).click();
    await page.locator("#stability").getByText(/At the end of log-2.csv the field changes by|The log is too short/).waitFor();
    await page.locator("#stability").getByLabel("Probe").first().selectOption("12");
    const log = readFileSync(join(serving.data, "magnets/kestrel-ridge/log-2.csv"), "utf8");
    expect(log).toContain("# reader_profile: ramping.yaml");
    expect(log.split("\n").filter((l) => /^20.*,12,\d/.test(l)).length).toBeGreaterThan(5);
  });

  it("says where the array is to go until it is there", async () => {
    await putArray(steadyPort, [1.4, -2.2, 3.1]);
    await page.goto(`${serving.url}/#/kestrel-ridge/take`);
    await page.getByText("Read the array while it is moved").click();
    await accessible(page, "before the seating");
    const form = page.locator("#seating");
    await form.getByLabel("Reader").selectOption("steady.yaml");
    await form.getByLabel("Its centre goes to").selectOption("as-before");
    await form.getByRole("button", { name: "Watch it while it is moved" }).click();
    await page.locator(".seat-way", { hasText: "towards −z (away from service end)" }).waitFor();
    await page.getByText("The reader is in use: the array is being seated").waitFor();
    await page.getByRole("button", { name: "It stands there" }).click();
    await page.getByRole("button", { name: "It was moved: go on" }).waitFor();
    const far = Object.fromEntries(
      await page.locator(".seat-move").evaluateAll((all) =>
        all.map((m) => [m.querySelector(".seat-way")?.textContent ?? "", Number.parseFloat(m.querySelector(".seat-far")?.textContent ?? "")]),
      ),
    );
    expect(far["towards 180°"]).toBeCloseTo(1.4, 0);
    expect(far["towards 90°"]).toBeCloseTo(2.2, 0);
    expect(far["towards −z (away from service end)"]).toBeCloseTo(3.1, 0);
    await accessible(page, "while it is seated");
    await fits(page, "the seating on a laptop");
    await page.screenshot({ path: join(SCREENS, "31-seating.png"), fullPage: true });
    await page.setViewportSize(PHONE);
    await page.emulateMedia({ colorScheme: "dark" });
    await fits(page, "the seating on a phone");
    await accessible(page, "the seating in the dark");
    await page.screenshot({ path: join(SCREENS, "32-seating-phone-dark.png"), fullPage: true });
    await page.setViewportSize(LAPTOP);
    await page.emulateMedia({ colorScheme: "light" });
    await putArray(steadyPort, [0, 0, 0]);
    await page.keyboard.press("PageDown"); // a pedal
    await page.getByText("At 90°").waitFor();
    await page.getByRole("button", { name: "It stands there" }).click();
    await page.getByText("Seated: within 0.5 mm.").waitFor();
    await page.screenshot({ path: join(SCREENS, "33-seated.png"), fullPage: true });
    await page.getByRole("heading", { name: "Begin a new survey" }).waitFor();
    expect(complaints).toEqual([]);
  });
});
