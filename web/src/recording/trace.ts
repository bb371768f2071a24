import type { Recording, Trace } from "../api";
import type { Kind } from "../useLive";

/** A trace with the stretches that an event brings; null where some in between were missed. */
export function joined(before: Trace | undefined, event: Trace): Trace | null {
  if (event.from === 0) {
    return event;
  }
  if (!before || before.width_s !== event.width_s || before.time_s.length < event.from) {
    return null;
  }
  const join = (old: number[], more: number[]) => [...old.slice(0, event.from), ...more];
  return {
    width_s: event.width_s,
    from: 0,
    time_s: join(before.time_s, event.time_s),
    mean_ppm: join(before.mean_ppm, event.mean_ppm),
    low_ppm: join(before.low_ppm, event.low_ppm),
    high_ppm: join(before.high_ppm, event.high_ppm),
  };
}

/** How the page follows a recording. */
export const RECORDING: Kind<Recording> = {
  path: "recording",
  isLive: (r) => ["opening", "reading", "lost"].includes(r.phase),
  merged: (before, event) => {
    const trace = event.trace ? joined(before?.trace, event.trace) : undefined;
    return trace === null ? null : ({ ...before, ...event, trace } as Recording);
  },
  goOn: (before, now) => (before.log && now.unfinished?.includes(before.log) ? { where: "/resume", body: { log: before.log } } : null),
  lookMs: 10_000,
};

const MINUTES = 7200; // s: a shorter recording is drawn in minutes
const GAP = 10; // and five stretches: what is farther apart is not joined

/** A picture's columns: time since the recording began, and what was read, with a break at each gap. */
export function columns(trace: Trace | undefined, factor: number) {
  const last = trace?.time_s.at(-1) ?? 0;
  const [per, unit] = last < MINUTES ? [60, "minutes"] : [3600, "hours"];
  const out = { unit, time: [] as number[], mean: [] as (number | null)[], low: [] as (number | null)[], high: [] as (number | null)[] };
  trace?.time_s.forEach((t, i) => {
    const before = trace.time_s[i - 1];
    if (before !== undefined && t - before > Math.max(GAP, 5 * trace.width_s)) {
      out.time.push((t + before) / 2 / per);
      out.mean.push(null);
      out.low.push(null);
      out.high.push(null);
    }
    out.time.push(t / per);
    out.mean.push((trace.mean_ppm[i] ?? 0) * factor);
    out.low.push((trace.low_ppm[i] ?? 0) * factor);
    out.high.push((trace.high_ppm[i] ?? 0) * factor);
  });
  return out;
}
