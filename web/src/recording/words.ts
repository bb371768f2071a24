import type { Estimate, Figures, Limit, Recording } from "../api";
import { centre, decimalsFor, deviation, fixed, type Reference, shown, uncertain } from "../format";
import { someOf } from "../sentences";
import { unit } from "../settings";

// What a recording shows, as sentences and figures in the unit chosen.

const FAST = 1000; // ppm/h: a ramp
const MINUTE = 60;

/** The field that ppm refer to; null before anything locked. */
export function reference(f: Figures, gamma: number | undefined): Reference | null {
  return f.frequency_MHz === null || !gamma ? null : { frequency_MHz: f.frequency_MHz, field_T: f.frequency_MHz / gamma };
}

export function fieldNow(f: Figures, gamma: number | undefined): string {
  const at = reference(f, gamma);
  return at ? centre(at) : "no lock";
}

export function change(f: Figures, gamma: number | undefined): string {
  return f.change_ppm === null ? "–" : shown(f.change_ppm, reference(f, gamma), 3);
}

/** The rate with its uncertainty, as deviations are shown; that of a ramp in kHz or mT. */
export function rate(drift: Estimate | null, at: Reference | null): string {
  if (!drift) {
    return "not told yet";
  }
  const ramp = at !== null && Math.abs(drift.value) > FAST;
  const usual = deviation(at); // ppm, Hz or µT
  const { factor, unit: name } = !ramp || unit.value === "ppm" ? usual : { factor: usual.factor / 1e3, unit: unit.value === "T" ? "mT" : "kHz" };
  return `${uncertain(drift.value * factor, (drift.uncertainty ?? 0) * factor)} ${name}/h`;
}

/** Time to the target in minutes, or hours where it is long. */
export function toTarget(hours: Estimate | null): string {
  if (!hours) {
    return "not told: the rate does not lead there for certain";
  }
  const [per, name] = hours.value < 0.05 ? [3600, "s"] : hours.value < 3 ? [MINUTE, "min"] : [1, "h"];
  return `${uncertain(hours.value * per, (hours.uncertainty ?? 0) * per)} ${name}`;
}

export function perAmpere(field: Estimate | null): string {
  return field ? `${uncertain(field.value * 1e3, (field.uncertainty ?? 0) * 1e3)} mT/A` : "not told: the current stands still";
}

/** Who locks, with the names of those who do not. */
export function locks(f: Figures): string {
  const all = f.probes === 1 ? "the probe locks" : `all ${f.probes} lock`;
  const lost = f.unlocked_probes;
  return lost.length === 0
    ? all
    : `${f.locked} of ${f.probes}; ${lost.length === 1 ? "probe" : "probes"} ${someOf(lost.map(String), 6)} ${lost.length === 1 ? "does" : "do"} not lock`;
}

/** Whether a drift keeps a limit, as alarms judge it: beyond by two standard uncertainties. */
export function judged(drift: Estimate | null, limit: Limit): "within" | "beyond" | "undecided" {
  if (!drift || drift.uncertainty === null) {
    return "undecided";
  }
  const size = Math.abs(drift.value);
  return size - 2 * drift.uncertainty > limit.limit ? "beyond" : size + 2 * drift.uncertainty <= limit.limit ? "within" : "undecided";
}

/** The sentence over the figures. */
export function headline(r: Recording): string {
  const who = r.probe === null || r.probe === undefined ? "all probes" : `probe ${r.probe}`;
  switch (r.phase) {
    case "opening":
      return "Calling the reader …";
    case "lost":
      return "The reader does not answer: trying again. What was read is kept.";
    default:
      return r.finishing ? "Ending …" : `Recording ${who} into ${r.log}: ${fixed(r.figures?.readings ?? 0, 0)} readings so far.`;
  }
}

/** How far back the rate looks. */
export function stretch(seconds: number | undefined): string {
  const minutes = (seconds ?? 0) / MINUTE;
  return `over the last ${fixed(minutes, minutes < 1 ? decimalsFor(minutes) : 0)} min`;
}
