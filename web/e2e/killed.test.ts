import { expect, it } from "vitest";
import { serve, stop } from "./serving";

const KILLS = 8;

/** A generator that is the same on every machine (mulberry32). */
function random(seed: number): () => number {
  let a = seed;
  return () => {
    a = (a + 0x6d2b79f5) | 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

it("killed while it saves and while it plans, it has lost nothing that it acknowledged", async () => {
  const dice = random(20261126);
  let serving = await serve();
  const { data } = serving;
  await fetch(`${serving.url}/api/v1/sample`, { method: "POST" });
  const kept = new Map<string, string>();
  let plans: string[] = [];
  for (let kill = 0; kill < KILLS; kill++) {
    const base = `${serving.url}/api/v1/magnets/kestrel-ridge`;
    const body = JSON.stringify({ survey: "survey-1.csv", seconds: kill % 2 === 0 ? 600 : 1 });
    await fetch(`${base}/searches`, { method: "POST", body });
    let alive = true;
    const saving = (async () => {
      for (let i = 0; alive; i++) {
        const name = `note-${kill}-${i}.csv`;
        const content = `tray,pocket,piece,count\n${"1,1,thin,1\n".repeat(1 + (i % 200))}`;
        try {
          const answer = await fetch(`${base}/files/${name}`, { method: "PUT", body: content });
          if (answer.ok) {
            kept.set(name, content);
          }
        } catch {
          return; // killed before it answered: it may be there or not, but never in part
        }
      }
    })();
    await new Promise((done) => setTimeout(done, 300 + 3000 * dice()));
    const seen = await fetch(base).then((r) => r.json());
    plans = seen.plans.map((p: { id: string }) => p.id);
    await stop(serving, "SIGKILL");
    alive = false;
    await saving;
    serving = await serve(data);
    const now = await fetch(`${serving.url}/api/v1/magnets/kestrel-ridge`).then((r) => r.json());
    for (const plan of plans) {
      expect(now.plans.map((p: { id: string }) => p.id)).toContain(plan);
    }
    for (const p of now.plans) {
      expect(p.plan.planned_ppm).toBeGreaterThan(0); // a plan is there whole or not at all
    }
  }
  for (const [name, content] of kept) {
    const there = await fetch(`${serving.url}/api/v1/magnets/kestrel-ridge/files/${name}`);
    expect(await there.text(), name).toBe(content);
  }
  console.log(`${KILLS} kills, ${kept.size} files acknowledged, all there`);
  expect(kept.size).toBeGreaterThan(KILLS);
  await stop(serving);
}, 300_000);
