// How long the page takes for what a person does with 10,000 points, in real Chromium.
//   ./fieldwright serve --port 8055 --data NEW &   node web/e2e/smooth.mjs http://localhost:8055 [turn|free]
// Per deed, ms: processor time of the page's main thread, median and most (other work on the machine does not stretch it), of its
// whole process, and its longest task by the clock; then what the server needed. docs/method/speed.md keeps the figures.
import { createRequire } from "node:module";

const { chromium } = createRequire(import.meta.url)("playwright-core");
const [url = "http://localhost:8055", kind = "turn"] = process.argv.slice(2);
const SIDE = 100; // probes, and angles
const RADIUS = 200;
const FLAGGED = [1234, 4321, 6789, 8765]; // readings that are 5 ppm off
let reading = 0;

let seed = 20261126;
function uniform() {
  seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
  return seed / 2 ** 32;
}

/** Roots of the Legendre polynomial, by Newton's method. */
function nodes(n) {
  return Array.from({ length: n }, (_, k) => {
    let x = Math.cos((Math.PI * (k + 0.75)) / (n + 0.5));
    for (let round = 0; round < 40; round++) {
      let [p, before] = [1, 0];
      for (let j = 0; j < n; j++) {
        [p, before] = [((2 * j + 1) * x * p - j * before) / (j + 1), p];
      }
      x -= (p * (x * x - 1)) / (n * (x * p - before));
    }
    return x;
  });
}

/** An invented field, ppm, at a point in units of the radius; a harmonic function, with a little noise. */
function frequency(x, y, z) {
  const ppm = 40 * z + 25 * x - 12 * y + 30 * (z * z - (x * x + y * y) / 2) + 18 * x * z - 9 * (x * x - y * y) + 14 * (z ** 3 - 1.5 * z * (x * x + y * y));
  const off = FLAGGED.includes(reading++) ? 5 : 0;
  return (23.42 * (1 + 1e-6 * (ppm + off + 0.05 * (uniform() + uniform() - 1)))).toFixed(8);
}

function survey() {
  if (kind === "turn") {
    const rows = ["angle_deg,probe,frequency_MHz"];
    const zs = nodes(SIDE).reverse();
    for (let a = 0; a < SIDE; a++) {
      const phi = (2 * Math.PI * a) / SIDE;
      zs.forEach((z, p) => {
        const rho = Math.sqrt(1 - z * z);
        rows.push(`${(360 * a) / SIDE},${p + 1},${frequency(rho * Math.cos(phi), rho * Math.sin(phi), z)}`);
      });
    }
    return `${rows.join("\n")}\n`;
  }
  const rows = ["x_mm,y_mm,z_mm,frequency_MHz"];
  for (let k = 0; k < SIDE * SIDE; k++) {
    const z = 1 - (2 * k + 1) / (SIDE * SIDE);
    const phi = k * Math.PI * (3 - Math.sqrt(5)); // one spiral from pole to pole
    const rho = Math.sqrt(1 - z * z);
    const [x, y] = [rho * Math.cos(phi), rho * Math.sin(phi)];
    rows.push(`${(RADIUS * x).toFixed(4)},${(RADIUS * y).toFixed(4)},${(RADIUS * z).toFixed(4)},${frequency(x, y, z)}`);
  }
  return `${rows.join("\n")}\n`;
}

async function put(path, body) {
  const answer = await fetch(`${url}/api/v1/${path}`, { method: "PUT", body });
  if (!answer.ok && answer.status !== 412) {
    throw new Error(`${path}: ${await answer.text()}`);
  }
}

const magnet = `smooth-${kind}`;
await fetch(`${url}/api/v1/sample`, { method: "POST" });
const sample = async (file) => (await fetch(`${url}/api/v1/magnets/kestrel-ridge/files/${file}`)).text();
await put(`magnets/${magnet}/files/magnet.yaml`, (await sample("magnet.yaml")).replace("count: 24", `count: ${SIDE}`));
await put(`magnets/${magnet}/files/installed.csv`, await sample("installed.csv"));
await put(`magnets/${magnet}/files/survey.csv`, survey());

const begun = performance.now();
const assessed = await fetch(`${url}/api/v1/magnets/${magnet}/surveys/survey.csv/assessment`);
const { survey: found } = await assessed.json();
console.log(`${kind}: ${found.readings} readings, ${found.used} used; first assessment on the server ${(performance.now() - begun).toFixed(0)} ms`);

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });
const page = await browser.newPage({ viewport: { width: 1366, height: 768 } });
page.setDefaultTimeout(300_000);
const cdp = await page.context().newCDPSession(page);
await cdp.send("Performance.enable");
await page.addInitScript(() => {
  globalThis.longest = 0;
  new PerformanceObserver((list) => {
    for (const task of list.getEntries()) {
      globalThis.longest = Math.max(globalThis.longest, task.duration);
    }
  }).observe({ type: "longtask" });
});

/** Processor time so far, ms: of the page's main thread, and of all threads of its process. */
async function spent() {
  const { metrics } = await cdp.send("Performance.getMetrics");
  return ["ThreadTime", "ProcessTime"].map((name) => 1000 * metrics.find((m) => m.name === name).value);
}

/** Waits until the page has drawn what it was told. */
const drawn = () => page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 0))));

async function measure(name, times, deed, settled = drawn) {
  const costs = [];
  let worst = 0;
  for (let k = 0; k < times; k++) {
    await drawn();
    await page.evaluate(() => {
      globalThis.longest = 0;
    });
    const before = await spent();
    await deed(k);
    await settled();
    const after = await spent();
    costs.push([after[0] - before[0], after[1] - before[1]]);
    worst = Math.max(worst, await page.evaluate(() => globalThis.longest));
  }
  costs.sort((a, b) => a[0] - b[0]);
  const [main, all] = costs[Math.floor(costs.length / 2)];
  const words = [`${main.toFixed(1).padStart(7)} (most ${costs.at(-1)[0].toFixed(1)})`, `whole process ${all.toFixed(0)}`, `longest task by the clock ${worst.toFixed(0)}`];
  console.log(`${name.padEnd(46)}${words.join(", ")}`);
}

const settled = async () => {
  await page.waitForFunction(() => !document.querySelector('.waiting, [aria-busy="true"]'));
  await drawn();
};
const { visits } = await (await fetch(`${url}/api/v1/magnets/${magnet}`)).json();
await measure("opening the visit", 1, () => page.goto(`${url}/#/${magnet}/${visits[0].id}`), async () => {
  await page.getByText(" readings carry the field model").waitFor();
  await settled();
});
const unrolled = page.locator("#field .unrolled canvas");
const curves = page.locator("#trust .plot .u-over");
const inside = async (where, fx, fy) => {
  const box = await where.boundingBox();
  return [box.x + fx * box.width, box.y + fy * box.height];
};
await curves.scrollIntoViewIfNeeded();
await measure("hovering over the curves", 10, async (k) => page.mouse.move(...(await inside(curves, 0.1 + 0.08 * k, 0.5))));
await unrolled.scrollIntoViewIfNeeded();
await measure("picking on the unrolled sphere", 5, async (k) => page.mouse.click(...(await inside(unrolled, 0.1 + 0.08 * k, 0.4))));
await measure("moving the point by key", 5, () => unrolled.press("ArrowRight"));
await page.getByRole("button", { name: "Open the view in space" }).click();
const ball = page.locator(".ball canvas");
await ball.waitFor();
await ball.scrollIntoViewIfNeeded();
await drawn();
await measure("moving the point, view in space open", 5, () => unrolled.press("ArrowRight"));
await measure("picking in space", 4, async (k) => page.mouse.click(...(await inside(ball, 0.45 + 0.02 * k, 0.5))));
await page.mouse.move(...(await inside(ball, 0.3, 0.5)));
await page.mouse.down();
await measure("turning the view in space, a step", 8, async (k) => page.mouse.move(...(await inside(ball, 0.3 + 0.03 * k, 0.5 + 0.01 * k))));
await page.mouse.up();
await measure("switching units", 4, (k) => page.getByLabel("Units").selectOption(["MHz", "T", "ppm", "MHz"][k]));
await page.getByRole("button", { name: "Close the view in space" }).click();
await page.evaluate(() => performance.clearResourceTimings());
await measure(
  "keeping a flagged reading, all that follows",
  FLAGGED.length - 1,
  () => page.getByRole("button", { name: "Keep it" }).first().click(),
  async () => {
    await page.waitForFunction(() => document.querySelector('[aria-busy="true"]'));
    await settled();
  },
);
const answers = await page.evaluate(() =>
  performance.getEntriesByType("resource").map((r) => [r.name.replace(/.*survey.csv\//, ""), r.responseEnd - r.startTime]),
);
console.log("on the server meanwhile, ms by the clock:", answers.map(([name, ms]) => `${name} ${ms.toFixed(0)}`).join(", "));
await browser.close();
