import type {
  Assessment,
  Comparison,
  Freed,
  Life,
  LifeEvent,
  LifeJudgement,
  LifeScalar,
  LifeSurvey,
  Plan,
  Suspicion,
} from "./api";
import { count, day, fixed, type Reference, shown, uncertain } from "./format";

// Sentences with values in them, each written whole: a translation replaces them one by one.

function chance(p: number): string {
  return p < 1e-4 ? `< ${fixed(1e-4, 4)}` : fixed(p, p < 0.1 ? 4 : 2);
}

export const EVENT_WORDS: Record<LifeEvent["kind"], string> = {
  moved: "moved",
  quench: "quench",
  ramped: "ramped",
  service: "service",
  other: "noted",
};

export function eventSentence(e: LifeEvent): string {
  return e.note
    ? `${day(e.time)}: ${EVENT_WORDS[e.kind]}, ${e.note}.`
    : `${day(e.time)}: ${EVENT_WORDS[e.kind]}.`;
}

export function shapeSentence(j: LifeJudgement): string {
  if (!j.shape) {
    return "Whether the harmonics changed cannot be said: the surveys state no uncertainty.";
  }
  const misfit = fixed(j.shape.misfit, 0);
  return j.shape.changed
    ? `The harmonics changed: misfit ${misfit} over ${j.shape.terms} terms, chance ${chance(j.shape.corrected_chance)}.`
    : `The harmonics are as expected: misfit ${misfit} over ${j.shape.terms} terms, chance ${chance(j.shape.corrected_chance)}.`;
}

export function standsOutSentence(j: LifeJudgement): string | null {
  const [first, second] = j.shape?.changed ? j.shape.outstanding : [];
  if (!first) {
    return null;
  }
  const one = `${first.name} by ${uncertain(first.difference_ppm, first.uncertainty_ppm)} ppm`;
  return second
    ? `Most of all ${one}, then ${second.name} by ${uncertain(second.difference_ppm, second.uncertainty_ppm)} ppm.`
    : `It is ${one}.`;
}

export function limitSentence(c: LifeScalar & { id: string }): string {
  const by = uncertain(c.found_ppm - c.expected_ppm, c.uncertainty_ppm);
  return c.changed
    ? `${c.id} changed by ${by} ppm, chance ${chance(c.corrected_chance)}.`
    : `${c.id} differs from what was expected by ${by} ppm, within chance.`;
}

export function centreSentence(j: LifeJudgement): string {
  const shift = uncertain(j.centre_shift_ppm, j.centre_shift_uncertainty_ppm);
  if (j.centre_basis === "set_anew") {
    return `The centre field was set anew in between and differs by ${shift} ppm.`;
  }
  if (!j.centre) {
    return `The centre field differs by ${shift} ppm; one survey before tells no rate to expect.`;
  }
  const off = uncertain(j.centre.found_ppm - j.centre.expected_ppm, j.centre.uncertainty_ppm);
  return j.centre.changed
    ? `The centre field changed: ${shift} ppm since the survey before, ${off} ppm off its line, chance ${chance(j.centre.corrected_chance)}.`
    : `The centre field moved by ${shift} ppm since the survey before; ${off} ppm off its line, within chance.`;
}

export function decaySentence(d: Life["decays"][number]): string {
  if (d.surveys === 1) {
    return `On ${day(d.from)}: one survey, which tells no rate of the centre field.`;
  }
  if (d.ppm_per_year === null) {
    return day(d.from) === day(d.to)
      ? `On ${day(d.from)}: ${count(d.surveys)} surveys, which tell no rate of the centre field.`
      : `From ${day(d.from)} to ${day(d.to)}: ${count(d.surveys)} surveys, which tell no rate of the centre field.`;
  }
  return `From ${day(d.from)} to ${day(d.to)} the centre field moved by ${uncertain(d.ppm_per_year, d.uncertainty_ppm_per_year)} ppm (${uncertain(d.Hz_per_year, d.uncertainty_Hz_per_year)} Hz) a year, from ${count(d.surveys)} surveys.`;
}

export function repeatabilitySentence(r: NonNullable<Life["repeatability"]>): string {
  if (r.visits === 1) {
    return "From one visit it cannot be told how well visits repeat: the stated uncertainties stand alone.";
  }
  if (!r.known) {
    return `From ${count(r.visits)} surveys it cannot be told how well visits repeat: the stated uncertainties stand alone.`;
  }
  const worst = Math.max(0, ...r.harmonic_ppm);
  return worst === 0
    ? `Beyond what is stated, visits scatter by ${fixed(r.centre_ppm, 3)} ppm in the centre field and not at all in the harmonics.`
    : `Beyond what is stated, visits scatter by ${fixed(r.centre_ppm, 3)} ppm in the centre field and by up to ${fixed(worst, 3)} ppm in a harmonic (of degree ${r.harmonic_ppm.indexOf(worst) + 1}).`;
}

/** Whether a survey has a place in the life: it carries a time and could be assessed. */
export function isPlaced(survey: LifeSurvey): boolean {
  return survey.time !== null && survey.limits !== undefined;
}

/** Of surveys of one visit with nothing loaded between, the last stands for all. */
function nothingJudged(placed: number): string {
  if (placed === 0) {
    return "No survey that could be assessed carries a time, so none can be held against another.";
  }
  return placed === 1
    ? "One survey so far; the next one will be held against it."
    : `One visit so far, surveyed ${count(placed)} times with nothing loaded between; the next visit will be held against the last of these.`;
}

/** The answer at the head of the section on a magnet's life. */
export function lifeAnswer(life: Life): string {
  const judged = life.surveys.flatMap((s) => (s.judgement ? [{ survey: s, judgement: s.judgement }] : []));
  const changed = judged.filter((j) => j.judgement.changed);
  const last = changed.at(-1);
  if (judged.length === 0) {
    return nothingJudged(life.surveys.filter(isPlaced).length);
  }
  if (!last) {
    return judged.length === 1
      ? "No change is seen beyond chance since the first survey."
      : `No change is seen beyond chance at any of the ${count(judged.length)} surveys after the first.`;
  }
  return changed.length === 1
    ? `A change is seen at ${day(last.survey.time)}, in ${last.survey.file}.`
    : `Changes are seen at ${count(changed.length)} surveys, the last one at ${day(last.survey.time)}, in ${last.survey.file}.`;
}

/** The answer at the head of a magnet's visits. */
export function visitsAnswer(visits: number): string {
  if (visits === 0) {
    return "Never yet: no survey and no field log is kept here.";
  }
  return visits === 1
    ? "Once; surveys and logs less than a week apart belong to one visit."
    : `${count(visits)} times; surveys and logs less than a week apart belong to one visit.`;
}

/** What a visit holds. */
export function visitContents(surveys: number, logs: number): string {
  const one = surveys === 1;
  if (logs === 0) {
    return one ? "1 survey" : `${surveys} surveys`;
  }
  if (logs === 1) {
    return one ? "1 survey, 1 log" : `${surveys} surveys, 1 log`;
  }
  return one ? `1 survey, ${logs} logs` : `${surveys} surveys, ${logs} logs`;
}

/** The answer at the head of a plan. */
export function planAnswer(id: string, p: Plan, centre: Reference): string {
  const from = shown(p.before_ppm, centre, 1);
  const to = shown(p.planned_ppm, centre);
  return `${id}: pieces in ${count(p.pieces_added)} (${fixed(p.mass_added_g / 1000, 2)} kg), pieces out ${count(p.pieces_removed)}, pockets touched ${count(p.pockets_touched)}; ${p.limit} is predicted to go from ${from} to ${to}.`;
}

/** The answer at the head of a round that was surveyed. */
export function outcomeAnswer(main: Comparison["limits"][number], centre: Reference): string {
  const from = shown(main.before.value_ppm, centre, 1);
  const to = shown(main.after.value_ppm, centre);
  return main.predicted_ppm === null
    ? `${main.id} went from ${from} to ${to}.`
    : `${main.id} went from ${from} to ${to}; ${shown(main.predicted_ppm, centre)} was predicted.`;
}

function suspectedPlace(s: Suspicion): string {
  if (s.pocket) {
    return `Tray ${s.tray}, pocket ${s.pocket}`;
  }
  return s.other_tray ? `Trays ${s.tray} and ${s.other_tray}` : `Tray ${s.tray}`;
}

/** What may differ from the sheet. */
export function suspicionSentence(s: Suspicion): string {
  const place = suspectedPlace(s);
  const what = s.what.replaceAll("_", " ");
  if (s.pieces === undefined) {
    return `${place}: ${what}.`;
  }
  const pieces = fixed(s.pieces, 1);
  return s.piece ? `${place}: ${what}; pieces of ${s.piece}, about ${pieces}.` : `${place}: ${what}; pieces, about ${pieces}.`;
}

/** What an unknown carried beside the field came out at. */
export function freedSentence(f: Freed): string {
  const value = uncertain(f.value, f.uncertainty);
  switch (f.what) {
    case "probe_offset":
      return `Probe ${f.probe} reads off by ${value} ppm.`;
    case "angle_error":
      return `At ${fixed(f.angle_deg, 1)}° the array stood ${value}° further than stated.`;
    case "drift":
      return `A drift of ${value} ppm per hour beyond what revisits show.`;
  }
}

/** Whether readings can be believed. */
export function trustAnswer(survey: Assessment["survey"], suspects: string[]): string {
  const used = count(survey.used);
  const all = count(survey.readings);
  const counts = `${used} of ${all} readings carry the field model. Taken again for the drift: ${count(survey.revisits)}. Set aside: ${count(survey.set_aside.length)}.`;
  return suspects.length > 0 ? `${counts} Look at this first: ${someOf(suspects, 2)}.` : counts;
}

/** Whether a magnet is uniform enough. */
export function limitsAnswer(judged: number, failed: string[], open: string[]): string {
  if (judged === 0) {
    return "The magnet file states no limit on homogeneity.";
  }
  if (failed.length > 0) {
    return open.length > 0
      ? `No. Not met: ${someOf(failed)}. Not decided by this survey: ${someOf(open)}.`
      : `No. Not met: ${someOf(failed)}.`;
  }
  return open.length > 0
    ? `It cannot be said. Too close to the limit for this survey's uncertainty: ${someOf(open)}.`
    : "Yes: every limit is met, with 95 % assurance.";
}

/** A magnet's line on the first page. */
export function homeSentence(surveys: number, limit: string, latest: number | null | undefined): string {
  return surveys === 1
    ? `1 survey, ${limit}: ${fixed(latest, 1)} ppm`
    : `${count(surveys)} surveys, ${limit}: ${fixed(latest, 1)} ppm`;
}

/** Names a few things: "a", "a and b", "a, b and 3 more". */
export function someOf(names: string[], most = 3): string {
  if (names.length <= 1) {
    return names.join("");
  }
  if (names.length <= most) {
    return `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
  }
  return `${names.slice(0, most).join(", ")} and ${names.length - most} more`;
}
