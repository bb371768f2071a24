// The documents of the HTTP API as the server's OpenAPI document describes them.

/** Who is signed in, where a team shares the server. */
export interface Session {
  team: boolean;
  name: string | null;
  person: string | null;
  role: "see" | "measure" | "sign" | null;
}

/** x, y and z. */
export type Triple = [number, number, number];

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
  /** Of the array. */
  probes?: number[];
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
  extremes?: { ppm: number; at_mm: Triple }[];
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

/** An unknown that the magnet file has every fit carry beside the field. */
export type Freed = { value: number; uncertainty: number } & (
  | { what: "probe_offset"; probe: number }
  | { what: "angle_error"; angle_deg: number }
  | { what: "drift" }
);

export interface Assessment {
  survey: {
    file: string;
    readings: number;
    used: number;
    revisits: number;
    set_aside: { row: number; probe: number | null; angle_deg: number | null; why: string; ppm: number | null }[];
    suspect_probes: { probe: number; offset_ppm: number; uncertainty_ppm: number }[];
    suspect_angles: { angle_deg: number; error_deg: number; uncertainty_deg: number }[];
    freed: Freed[];
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
  centring: { magnetic_centre_mm: Triple | null; uncertainty_mm: Triple | null };
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
  /** Who decided last, where people sign in. */
  by?: string;
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

/** A search for iron outside the bore. */
export interface OutsideLook {
  id: string;
  survey: string;
  since: string | null;
  state: Search["state"];
  stage: string;
  seconds: number;
  complaint: string | null;
  answer: OutsideIron | null;
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
  /** Richer explanations went untried. */
  stopped: boolean;
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
  /** Who took the samples; empty where the log does not say. */
  probes: number[];
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

/** Work with a reader that goes on by itself. */
export interface LiveWork {
  phase: "none" | "opening" | "ready" | "reading" | "lost" | "complete" | "saved" | "stopped" | "failed";
  driver?: string;
  trouble?: string | null;
  notes?: string[];
  /** The reader's profile. */
  reader?: string;
  /** What goes on at this magnet, if anything; not in events. */
  busy?: string | null;
  /** Profiles of readers in the magnet's folder; not in events. */
  readers?: string[];
  current_readers?: string[];
  /** What was left; not in events. */
  unfinished?: string[];
}

/** A survey while it is taken. */
export interface Capture extends LiveWork {
  survey?: string;
  next?: { angle_deg: number; revisit: boolean; failed_only: boolean; number: number };
  angles?: CaptureAngle[];
  said?: Remark[];
  standing?: Remark[];
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
}

export interface Estimate {
  value: number;
  uncertainty: number | null;
}

/** What a recording shows now: the document of `record --json`. */
export interface Figures {
  time: string;
  readings: number;
  locked: number;
  probes: number;
  unlocked_probes: number[];
  frequency_MHz: number | null;
  change_ppm: number | null;
  drift_ppm_per_hour: Estimate | null;
  current_A: number | null;
  field_T_per_A: Estimate | null;
  hours_to_target: Estimate | null;
  alarms: string[];
}

/** Stretches of the recording from the one numbered `from` on. */
export interface Trace {
  width_s: number;
  from: number;
  time_s: number[];
  mean_ppm: number[];
  low_ppm: number[];
  high_ppm: number[];
}

/** A field log while it is recorded. */
export interface Recording extends LiveWork {
  log?: string;
  finishing?: boolean;
  probe?: number | null;
  interval_s?: number;
  alarm_ppm?: number | null;
  target_MHz?: number | null;
  over_s?: number;
  with_current?: boolean;
  figures?: Figures | null;
  said?: { time: string; alarm: boolean; text: string }[];
  trace?: Trace;
  caution?: string;
}

export interface SeatComponent {
  direction: Triple;
  move_mm: number;
  uncertainty_mm: number;
  towards: string;
  seen: boolean;
  within: boolean;
}

/** The document of `seat --json`. */
export interface SeatAdvice {
  seated: boolean;
  tolerance_mm: number;
  angles_deg: number[];
  components: SeatComponent[];
  plus_z_end: string | null;
  misfit: number;
  left_out_probes: number[];
  lines: string[];
}

/** The array while it is seated. */
export interface Seating extends LiveWork {
  earlier?: string;
  to?: "magnetic-centre" | "as-before";
  tolerance_mm?: number;
  angle_deg?: number;
  probes_read?: number;
  probes?: number;
  too_few?: boolean;
  /** How often the array was read whole. */
  found?: number;
  advice?: SeatAdvice | null;
  caution?: string;
}
