// The HTTP API as the server's OpenAPI document describes it; the page knows the server through this file alone.

export interface Limit {
  id: string;
  measure: "peak_to_peak" | "surface_rms" | "volume_rms" | "drift";
  limit: number;
  shape?: "sphere" | "ellipsoid" | "cylinder";
  diameter_mm?: number;
  diameters_mm?: number[];
  length_mm?: number;
}

export interface Measured {
  file: string;
  time: string | null;
  complaint: string | null;
}

export interface Visit {
  id: string;
  surveys: Measured[];
  logs: Measured[];
}

export interface MagnetSummary {
  id: string;
  name: string;
  serial?: string | null;
  field_T?: number;
  complaint?: string;
}

export interface KeptPlan {
  id: string;
  changes: string;
  plan?: Plan;
}

export interface Magnet extends MagnetSummary {
  gamma_MHz_per_T?: number;
  files: { file: string; kind: string }[];
  limits?: Limit[];
  can_load?: boolean;
  can_rehearse?: boolean;
  visits: Visit[];
  plans: KeptPlan[];
  rounds: { round: number; time: string; by: string; note: string; takes_back: number | null; steps: unknown[] }[];
}

export type Verdict = "met" | "not_met" | "undecided" | "not_assessed";

export interface LimitResult {
  id: string;
  measure: Limit["measure"];
  value_ppm: number | null;
  uncertainty_ppm: number | null;
  interval_95_ppm?: [number, number];
  budget?: { source: string; uncertainty_ppm: number }[];
  limit_ppm?: number;
  limit_ppm_per_hour?: number;
  verdict: Verdict;
  extremes?: { ppm: number; at_mm: [number, number, number] }[];
  extrapolated: boolean;
}

export interface TermValue {
  n: number;
  m: number;
  part: "cos" | "sin";
  name: string;
  value: number | null;
  uncertainty: number | null;
}

export interface Assessment {
  survey: {
    file: string;
    readings: number;
    used: number;
    revisits: number;
    set_aside: { row: number; probe: number | null; angle_deg: number | null; why: string; ppm: number | null }[];
    suspect_probes: { probe: number; offset_ppm: number; uncertainty_ppm: number }[];
    suspect_angles: { angle_deg: number; error_deg: number; uncertainty_deg: number }[];
    drift_ppm_per_hour: number | null;
    drift_uncertainty_ppm_per_hour: number | null;
    warnings: string[];
  };
  centre: { field_T: number; frequency_MHz: number; uncertainty_ppm: number };
  harmonics: {
    reference_radius_mm: number;
    degree: number;
    degree_reason: string;
    condition: number;
    residual_rms_ppm: number;
    terms: TermValue[];
  };
  readings_peak_to_peak_ppm: number;
  limits: LimitResult[];
  centring: { magnetic_centre_mm: [number, number, number] | null; uncertainty_mm: [number, number, number] | null };
}

export interface Readings {
  row: number[];
  probe: (number | null)[];
  angle_deg: (number | null)[];
  x_mm: number[];
  y_mm: number[];
  z_mm: number[];
  state: string[];
  ppm: (number | null)[];
  residual_ppm: (number | null)[];
  time: (string | null)[];
}

export interface Surface {
  polar_steps: number;
  azimuth_steps: number;
  ppm: number[];
  r_mm: number | number[];
}

export interface Profile {
  s_mm: number[];
  ppm: number[];
  uncertainty_ppm: number[];
}

interface Band {
  ppm: number[];
  low_ppm: (number | null)[];
  high_ppm: (number | null)[];
}

export interface ByRadius {
  radius_mm: number[];
  peak_to_peak: Band;
  volume_rms: Band;
  measured_radius_mm: number;
}

export interface Choices {
  degree: number | null;
  leave_out: number[];
  keep: number[];
}

/** An estimate of how the field pulls at a tray on its way. */
export interface TrayPull {
  tray: number;
  iron_g: number;
  home_N: number;
  largest_N: number;
  largest_at_mm: number;
  side_N: number | null;
  turning_Nm: number | null;
}

export interface Plan {
  goal: string;
  limit: string;
  survey?: string;
  before_ppm: number;
  relaxed_bound_ppm: number | null;
  planned_ppm: number;
  unreachable_by_ppm: number;
  promised_ppm_95: number | null;
  pieces_added: number;
  pieces_removed: number;
  mass_added_g: number;
  pockets_touched: number;
  centre_shift_ppm: number;
  seconds: number;
  loading: { tray: number; pocket: number; piece: string; from: number; to: number }[];
  coils: { id: string; from_A: number; to_A: number }[];
  pulls?: { coming_out: TrayPull[]; going_in: TrayPull[] } | null;
  predicted_limits: LimitResult[];
  warnings: string[];
}

export interface Search {
  id: string;
  survey: string;
  state: "waiting" | "searching" | "done" | "failed";
  stage: string;
  best_ppm: number | null;
  bound_ppm: number | null;
  seconds: number;
  seconds_asked: number;
  plan: string | null;
  complaint: string | null;
}

export interface Bore {
  plus_z_end?: string | null;
  pockets: { tray: number; pocket: number; azimuth_deg: number; z_mm: number; forbidden: boolean }[];
  pieces: { id: string; mass_g: number; strength: number }[];
  installed?: { tray: number; pocket: number; piece: string; count: number }[];
}

export interface Suspicion {
  what: string;
  tray: number;
  other_tray?: number;
  pocket?: number;
  piece?: string;
  pieces?: number;
  evidence: number;
  strong: boolean;
}

export interface Comparison {
  centre_shift_ppm: number;
  centre_shift_uncertainty_ppm: number;
  harmonics: {
    terms: {
      n: number;
      m: number;
      part: "cos" | "sin";
      name: string;
      before: number | null;
      after: number | null;
      change: number | null;
      uncertainty: number | null;
      predicted?: number;
    }[];
  };
  limits: {
    id: string;
    measure: Limit["measure"];
    limit_ppm: number;
    before: LimitResult;
    after: LimitResult;
    predicted_ppm: number | null;
  }[];
  loaded: null | {
    strengths: { piece: string; factor: number; uncertainty: number; learned: boolean }[];
    suspicions: Suspicion[];
  };
  warnings: string[];
}

type Triple = [number, number, number];

export interface OutsideSource {
  at_mm: Triple;
  uncertainty_mm: Triple;
  from_centre_mm: number;
  from_axis_mm: number;
  azimuth_deg: number;
  ellipsoid_95_mm: [Triple, Triple, Triple];
  iron_g: number;
  iron_uncertainty_g: number;
  along_field: boolean;
}

export interface OutsideIron {
  survey: string;
  since: string | null;
  basis: "one_survey" | "difference" | "both_together";
  readings: number;
  read_to_mm: number;
  verdict: "nothing_seen" | "located" | "not_located";
  moments: "along_field" | "any_direction";
  degree: number;
  scatter_ppm: number;
  left_ppm: number;
  sources: OutsideSource[];
  elsewhere: Triple[][];
  evidence: { sources: number; moments: string; degree: number; misfit: number; unknowns: number; against_none: number }[];
  least: { distance_mm: number; iron_g: number }[];
  bore: { radius_mm: number; half_length_mm: number } | null;
  warnings: string[];
}

export interface LogSeries {
  start: string;
  time_h: number[];
  low_ppm: number[];
  high_ppm: number[];
}

export interface Stability {
  log: { start: string; end: string; duration_hours: number; samples: number; used: number; warnings: string[] };
  drift: null | { ppm_per_hour: number | null; uncertainty_ppm_per_hour: number | null; form: string };
  limits: { id: string; limit_ppm_per_hour: number; verdict: Verdict }[];
}

export interface HistoryEntry {
  file: string;
  visit: string;
  time: string | null;
  centre_field_T?: number;
  limits?: LimitResult[];
  complaint?: string;
}

export interface LifeEvent {
  time: string;
  kind: "moved" | "quench" | "ramped" | "service" | "other";
  note: string;
}

export interface LifeScalar {
  changed: boolean;
  found_ppm: number;
  expected_ppm: number;
  uncertainty_ppm: number;
  corrected_chance: number;
}

export interface LifeJudgement {
  since: string;
  changed: boolean;
  iron_loaded: boolean;
  events: LifeEvent[];
  shape: null | {
    changed: boolean;
    misfit: number;
    terms: number;
    corrected_chance: number;
    outstanding: { name: string; difference_ppm: number; uncertainty_ppm: number }[];
  };
  limits: (LifeScalar & { id: string })[];
  centre_shift_ppm: number;
  centre_shift_uncertainty_ppm: number;
  centre_basis: "judged" | "set_anew" | "no_rate_yet";
  centre: LifeScalar | null;
}

export interface LifeSurvey {
  file: string;
  visit: string;
  time: string | null;
  centre_ppm?: number;
  centre_uncertainty_ppm?: number;
  terms?: TermValue[];
  limits?: LimitResult[];
  judgement: LifeJudgement | null;
}

/** What `life` answers of a magnet. */
export interface Life {
  reference: { field_T: number; frequency_MHz: number; radius_mm: number } | null;
  surveys: LifeSurvey[];
  decays: {
    from: string;
    to: string;
    surveys: number;
    ppm_per_year: number | null;
    uncertainty_ppm_per_year: number | null;
    Hz_per_year: number | null;
    uncertainty_Hz_per_year: number | null;
  }[];
  drifts: {
    file: string;
    time: string;
    ppm_per_hour: number;
    uncertainty_ppm_per_hour: number;
    change: { changed: boolean } | null;
  }[];
  repeatability: { visits: number; known: boolean; harmonic_ppm: number[]; centre_ppm: number } | null;
  events: LifeEvent[];
  years: {
    year: number;
    visits: number;
    surveys: number;
    limits: { id: string; least_ppm: number; last_ppm: number | null; last_uncertainty_ppm: number | null; verdict: Verdict }[];
    centre_field_T: number | null;
    drift_ppm_per_hour: number | null;
    drift_uncertainty_ppm_per_hour: number | null;
    iron_in_g: number;
    iron_out_g: number;
    events: LifeEvent[];
    changed: string[];
  }[];
  warnings: string[];
}

export interface Remark {
  kind: "lock" | "reading" | "angle" | "probe" | "drift" | "note";
  angle_deg: number | null;
  asks_again: boolean;
  text: string;
}

export interface CaptureAngle {
  angle_deg: number;
  taken: boolean;
  silent: number[];
}

/** A survey while it is taken. */
export interface Capture {
  phase: "none" | "opening" | "ready" | "reading" | "lost" | "complete" | "saved" | "stopped" | "failed";
  survey?: string;
  reader?: string;
  driver?: string | null;
  trouble?: string | null;
  next?: { angle_deg: number; revisit: boolean; failed_only: boolean; number: number };
  angles?: CaptureAngle[];
  said?: Remark[];
  standing?: Remark[];
  notes?: string[];
  warnings?: string[];
  done?: number;
  of?: number;
  probes_read?: number;
  probes?: number;
  seconds_left?: number | null;
  advance?: {
    kind: "hand" | "timer" | "settled";
    seconds: number;
    seconds_to_read: number | null;
    turn: "still" | "turning" | "settled" | null;
  };
  /** Profiles of readers in the magnet's folder; not in events. */
  readers?: string[];
  /** Surveys that were left; not in events. */
  unfinished?: string[];
}

/** What the server could not do, in its own words. */
export class Problem extends Error {
  constructor(
    readonly status: number,
    readonly title: string,
    detail: string,
  ) {
    super(detail);
  }
}

/** Whatever was thrown, as something that can be shown. */
export function asProblem(thrown: unknown): Problem {
  return thrown instanceof Problem ? thrown : new Problem(0, "A fault of the page", String(thrown));
}

/** The lists of changes that a magnet's folder holds, besides what is installed. */
export function changeLists(magnet: Magnet): string[] {
  return magnet.files.filter((f) => f.kind === "loading" && f.file !== "installed.csv").map((f) => f.file);
}

/** The list of the last plan made from a survey, or "". */
export function lastPlanFrom(magnet: Magnet, survey: string | null): string {
  return magnet.plans.filter((p) => p.plan?.survey === survey).at(-1)?.changes ?? "";
}

async function answered(response: Response): Promise<Response> {
  if (response.ok) {
    return response;
  }
  const problem = await response.json().catch(() => null);
  throw new Problem(response.status, problem?.title ?? "No answer", problem?.detail ?? `status ${response.status}`);
}

async function call(path: string, init?: RequestInit): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(`/api/v1/${path}`, init);
  } catch {
    throw new Problem(0, "The program does not answer", "Is fieldwright serve still running? What was saved is safe.");
  }
  return answered(response);
}

export async function get<T>(path: string, signal?: AbortSignal): Promise<T> {
  return (await call(path, signal ? { signal } : undefined)).json();
}

export async function post<T>(path: string, body: unknown): Promise<T> {
  return (await call(path, { method: "POST", body: JSON.stringify(body) })).json();
}

/** A document with the tag that a change of it must name. */
export async function getTagged<T>(path: string): Promise<{ value: T; tag: string | null }> {
  const response = await call(path);
  return { value: await response.json(), tag: response.headers.get("ETag") };
}

/** Replaces what had the tag; null where nothing was there. Answers the new tag. */
export async function put(path: string, body: BodyInit, tag: string | null): Promise<string | null> {
  const response = await call(path, { method: "PUT", body, headers: tag ? { "If-Match": tag } : {} });
  return response.headers.get("ETag");
}

/** Fetches a document and hands it to the person as a file. */
export async function download(path: string, method: "GET" | "POST" = "GET"): Promise<string> {
  const response = await call(path, { method });
  const name = /filename="([^"]+)"/.exec(response.headers.get("Content-Disposition") ?? "")?.[1] ?? "fieldwright";
  const url = URL.createObjectURL(await response.blob());
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
  return name;
}

export function query(parameters: Record<string, string | number | string[] | null | undefined>): string {
  const parts: string[] = [];
  for (const [name, value] of Object.entries(parameters)) {
    if (Array.isArray(value)) {
      parts.push(...value.map((one) => `${name}=${encodeURIComponent(one)}`)); // an empty one keeps its place
    } else if (value !== null && value !== undefined && value !== "") {
      parts.push(`${name}=${encodeURIComponent(String(value))}`);
    }
  }
  return parts.length > 0 ? `?${parts.join("&")}` : "";
}
