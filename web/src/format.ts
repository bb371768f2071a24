import { numbers, unit } from "./settings";

// Numbers and quantities as a person reads them; the one place where units are chosen.

const LOCALES = { en: "en-GB", de: "de-DE", fr: "fr-FR" } as const;

/** A number with so many decimals, or "–" where there is none. */
export function fixed(value: number | null | undefined, decimals: number): string {
  if (value === null || value === undefined || !Number.isFinite(value)) {
    return "–";
  }
  const isZero = Number(value.toFixed(decimals)) === 0; // rounded: "−0" says nothing
  return new Intl.NumberFormat(LOCALES[numbers.value], {
    minimumFractionDigits: decimals,
    maximumFractionDigits: decimals,
  })
    .format(isZero ? 0 : value)
    .replace("-", "−");
}

/** How many of something. */
export function count(n: number | null | undefined): string {
  return fixed(n, 0);
}

// Only what stands by itself is a decimal number: names, dates and numbers of clauses stay.
const LONE_DECIMAL = /((?:^|[\s(])\+?)([-−]?\d+\.(\d+))(?=$|[\s,;:)%°]|\.(?:\s|$))/g;

/** A sentence of the program, which writes decimals with a point, in the way of writing chosen. */
export function prose(sentence: string): string {
  return sentence.replace(
    LONE_DECIMAL,
    (_, before: string, number: string, decimals: string) => before + fixed(Number(number.replace("−", "-")), decimals.length),
  );
}

/** As many decimals as an uncertainty supports: two of its digits. */
export function decimalsFor(uncertainty: number | null | undefined, otherwise = 2): number {
  if (!uncertainty || !Number.isFinite(uncertainty)) {
    return otherwise;
  }
  return Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(Math.abs(uncertainty)))));
}

/** A value with its uncertainty, to the second digit of it. */
export function uncertain(value: number | null | undefined, u: number | null | undefined): string {
  return u ? `${fixed(value, decimalsFor(u))} ± ${fixed(u, decimalsFor(u))}` : fixed(value, 3);
}

/** The field that ppm refer to. */
export interface Reference {
  field_T: number;
  frequency_MHz: number;
}

/** How a deviation given in ppm is shown: factor and unit. */
export function deviation(reference: Reference | null): { factor: number; unit: string } {
  if (reference && unit.value === "MHz") {
    return { factor: reference.frequency_MHz, unit: "Hz" };
  }
  if (reference && unit.value === "T") {
    return { factor: reference.field_T, unit: "µT" };
  }
  return { factor: 1, unit: "ppm" };
}

/** A deviation given in ppm, in the unit chosen, with as many decimals as make sense for it. */
export function shown(ppm: number | null | undefined, reference: Reference | null, decimals = 2): string {
  const { factor, unit: name } = deviation(reference);
  if (ppm === null || ppm === undefined) {
    return "–";
  }
  const places = Math.max(0, decimals - Math.round(Math.log10(factor)));
  return `${fixed(ppm * factor, places)} ${name}`;
}

/** The centre field in the unit chosen. */
export function centre(reference: Reference): string {
  return unit.value === "T" ? `${fixed(reference.field_T, 7)} T` : `${fixed(reference.frequency_MHz, 6)} MHz`;
}

export function day(time: string | null): string {
  if (!time) {
    return "no date";
  }
  return new Intl.DateTimeFormat(LOCALES[numbers.value], { dateStyle: "medium", timeZone: "UTC" }).format(
    new Date(time),
  );
}

export const MEASURE_WORDS = {
  peak_to_peak: "peak-to-peak",
  surface_rms: "surface RMS",
  volume_rms: "volume RMS",
  drift: "drift",
} as const;

export const WHY_WORDS: Record<string, string> = {
  used: "used",
  revisit: "read again, for the drift",
  no_lock: "no lock",
  out_of_range: "outside the array's range",
  outlier: "does not fit its neighbours",
  excluded: "left out by you",
};
