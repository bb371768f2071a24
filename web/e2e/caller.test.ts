import { type ChildProcess, execFileSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { accessible, fits } from "./checks";
import { DEMO, freePort, PROFILE, startReader } from "./reader";
import { browser, ROOT, SCREENS, type Serving, serve, stop } from "./serving";

const LAPTOP = { width: 1366, height: 768 };
const PHONE = { width: 390, height: 844 };
const ANGLES = 16;

let serving: Serving;
let chrome: Browser;
let page: Page;
let reader: ChildProcess;
let port: number;
const work = mkdtempSync(join(tmpdir(), "fieldwright-caller-"));
const faulty = join(work, "faulty");
const mended = join(work, "mended");

/** A virtual magnet whose reader is quick; what is wrong with it is put in by hand. */
function scenario(folder: string, faults: string, reader: string) {
  mkdirSync(folder);
  for (const file of ["magnet.yaml", "installed.csv"]) {
    cpSync(join(DEMO, file), join(folder, file));
  }
  const text = readFileSync(join(DEMO, "scenario.yaml"), "utf8")
    .replaceAll("seconds_per_reading: 1.5", "seconds_per_reading: 0")
    .replace(/ {4}faults:\n[\s\S]*?\n\n/, `    faults: ${faults}\n\nreader: ${reader}\n\n`);
  writeFileSync(join(folder, "scenario.yaml"), text);
}

beforeAll(async () => {
  scenario(
    faulty,
    "{no_lock: [{probe: 7, angle_deg: 90}], wrong_angles: [{angle_deg: 135, error_deg: 1.8}]}",
    "{cut_rate: 0.03, garbled_rate: 0.03}",
  );
  scenario(mended, "{}", "{cut_rate: 0.01}");
  serving = await serve();
  port = await freePort();
  reader = await startReader(join(faulty, "scenario.yaml"), port);
  const folder = join(serving.data, "magnets", "ridge");
  mkdirSync(folder, { recursive: true });
  for (const file of ["magnet.yaml", "installed.csv"]) {
    cpSync(join(DEMO, file), join(folder, file));
  }
  writeFileSync(
    join(folder, "reader.yaml"),
    `${readFileSync(PROFILE, "utf8")
      .replace("port: 5055", `port: ${port}`)
      .replace("retries: 3", "retries: 20")
      .replace("pause_s: 0.2", "pause_s: 0.02\nreconnect_s: 1")}\ncalibrated: 2020-01-31\ncalibration_interval_months: 12\n`,
  );
  chrome = await browser();
  page = await chrome.newPage({ viewport: LAPTOP, bypassCSP: true, reducedMotion: "reduce" });
  page.setDefaultTimeout(60_000);
  // What the page says is kept, as nobody listens here.
  await page.addInitScript(() => {
    const said: string[] = [];
    Object.assign(globalThis, { said });
    speechSynthesis.speak = (u) => void said.push(u.text);
  });
}, 300_000);

afterAll(async () => {
  await chrome?.close();
  reader?.removeAllListeners("exit");
  reader?.kill();
  if (serving) {
    expect(await stop(serving)).toBe(143);
  }
});

const done = () => page.locator(".caller-progress p").innerText().then((t) => Number.parseInt(t, 10));
const onceDone = (count: number) => expect.poll(done, { timeout: 60_000 }).toBe(count);
const state = (text: string) => page.locator(".caller-state", { hasText: text }).waitFor();

describe("a survey called by the page", () => {
  it("begins with who reads, warns of a lapsed calibration, and fits its screens", async () => {
    await page.goto(`${serving.url}/#/ridge`);
    await page.getByRole("link", { name: "Take a survey at the magnet" }).click();
    await page.getByLabel("Angles, or a list of them").fill(String(ANGLES));
    await page.getByLabel("Order").selectOption("there-and-back");
    await accessible(page, "before the survey");
    await page.getByRole("button", { name: "Begin" }).click();
    await state("Ready: turn to");
    await page.getByText(/calibration of the reader .* lapsed on 2021-01-31/).waitFor();
    await accessible(page, "the caller");
    await fits(page, "the caller on a laptop");
    // 40 mm on a screen of 310 mm, which is 20/40 sight at 14 m: a digit is 0.7 of its font.
    const digit = await page.locator(".caller-angle").evaluate((e) => 0.7 * Number.parseFloat(getComputedStyle(e).fontSize));
    expect(digit * (310 / LAPTOP.width)).toBeGreaterThan(40);
    await page.screenshot({ path: join(SCREENS, "20-caller-ready.png") });
  });

  it("reads by space, pedal and presenter once each, and says what did not lock", async () => {
    for (const [i, key] of ["Space", "PageDown"].entries()) {
      await page.keyboard.press(key);
      await page.keyboard.press(key); // a pedal that bounces
      await onceDone(i + 1);
    }
    await page.keyboard.press("ArrowRight");
    await page.locator(".caller-said").getByText("Repeat 90°: probe 7 did not lock.").waitFor();
    // A sentence is spoken after it is written, so the last one may still be on its way.
    for (const sentence of ["Turn to 45 degrees.", "Repeat 90 degrees: probe 7 did not lock."]) {
      await page.waitForFunction((wanted) => (globalThis as unknown as { said: string[] }).said.includes(wanted), sentence);
    }
    await page.screenshot({ path: join(SCREENS, "21-caller-repeat.png") });
  });

  it("lets others watch, and only one drive", async () => {
    const other = await chrome.newPage({ viewport: PHONE, colorScheme: "dark", bypassCSP: true });
    await other.goto(`${serving.url}/#/ridge/take`);
    await other.getByText("Another page drives this survey").waitFor();
    await other.keyboard.press("Space");
    await accessible(other, "the caller in the dark");
    await fits(other, "the caller on a phone");
    await other.screenshot({ path: join(SCREENS, "22-caller-phone-dark.png"), fullPage: true });
    expect(await done()).toBe(3);
    await other.getByRole("button", { name: "Drive from here" }).click();
    await page.getByText("Another page drives this survey").waitFor();
    await page.getByRole("button", { name: "Drive from here" }).click();
    await other.getByText("Another page drives this survey").waitFor();
    await other.close();
  });

  it("finds the wrong angle, by timer and by itself once the array rests", async () => {
    await page.getByText("by a timer").click();
    await page.getByLabel("every").fill("1");
    await page.keyboard.press("Tab");
    await expect.poll(done, { timeout: 60_000 }).toBeGreaterThanOrEqual(5);
    await page.getByText("by itself, when it was turned and rests").click();
    await page.locator(".caller-standing").getByText(/^135° looks like 136\.[789] ± 0\.\d\d°/).waitFor();
    await state("Everything is read");
    await page.screenshot({ path: join(SCREENS, "23-caller-wrong-angle.png") });
    expect(await page.getByText("Troubles that were overcome").count()).toBe(1); // cuts and garbled answers
  });

  it("waits for a reader that went away, and mends what was wrong", async () => {
    await page.getByText("by a key or a pedal").click();
    await page.getByRole("button", { name: "135°, to repeat" }).click();
    await page.getByRole("button", { name: "Take the whole angle again" }).click();
    await state("Ready: turn to");
    reader.removeAllListeners("exit");
    const gone = new Promise((end) => reader.on("exit", end));
    reader.kill("SIGKILL");
    await gone;
    await page.keyboard.press("Enter");
    await state("The reader does not answer");
    await page.screenshot({ path: join(SCREENS, "24-caller-lost.png") });
    reader = await startReader(join(mended, "scenario.yaml"), port);
    await state("Everything is read");
    await page.getByRole("button", { name: "90°, to repeat" }).focus();
    await page.keyboard.press("Enter");
    await page.getByRole("button", { name: "Read only probe 7 again" }).click();
    await state("Turn back to");
    await page.keyboard.press("PageDown");
    await state("Everything is read");
    expect(await page.getByText(/did not lock|looks like/).count()).toBe(0);
  });

  it("ends with the verdict, which is the truth of the scenario", async () => {
    await page.keyboard.press("Space");
    await page.getByText("Saved as survey-1.csv").waitFor();
    await page.getByRole("link", { name: "See what it says" }).click();
    await page.locator("#limits .verdict").first().waitFor();
    await page.screenshot({ path: join(SCREENS, "25-caller-verdict.png") });
    const out = join(work, "truth");
    execFileSync(join(ROOT, "fieldwright"), ["simulate", "--scenario", join(mended, "scenario.yaml"), "--out", out], { stdio: "ignore" });
    const truth = JSON.parse(readFileSync(join(out, "truth.json"), "utf8"));
    const found = await (await fetch(`${serving.url}/api/v1/magnets/ridge/surveys/survey-1.csv/assessment`)).json();
    expect(found.survey.readings).toBe((ANGLES + 1) * 24);
    const assessed = truth.limits.filter((l: { verdict: string }) => l.verdict !== "not_assessed"); // no log, no drift
    expect(assessed).toHaveLength(3);
    for (const limit of assessed) {
      const ours = found.limits.find((l: { id: string }) => l.id === limit.id);
      expect(ours.verdict, limit.id).toBe(limit.verdict);
      expect(Math.abs(ours.value_ppm - limit.value_ppm), limit.id).toBeLessThan(0.05 * limit.value_ppm);
    }
  });
});
