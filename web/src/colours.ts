// Colour maps computed in OKLab (Ottosson 2020, public domain), where equal steps look equal. The diverging pair
// blue–orange differs for every common kind of colour blindness; lightness alone tells the size.

export type Rgb = [number, number, number];

function linear(c: number): number {
  return c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055;
}

/** sRGB 0..255 of lightness 0..1, chroma and hue in degrees. */
export function fromLch(lightness: number, chroma: number, hueDeg: number): Rgb {
  const a = chroma * Math.cos((hueDeg * Math.PI) / 180);
  const b = chroma * Math.sin((hueDeg * Math.PI) / 180);
  const l = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (lightness - 0.0894841775 * a - 1.291485548 * b) ** 3;
  const rgb = [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ];
  return rgb.map((c) => Math.round(255 * Math.min(1, Math.max(0, linear(Math.max(0, c)))))) as Rgb;
}

/**
 * Colour of a signed value between −1 and 1: below zero blue, above zero orange, zero the colour of the page.
 */
export function diverging(t: number, dark: boolean): Rgb {
  const size = Math.min(1, Math.abs(t));
  const hue = t < 0 ? 250 : 60;
  const lightness = dark ? 0.27 + 0.5 * size : 0.96 - 0.5 * size;
  return fromLch(lightness, 0.15 * size ** 0.8, hue);
}

const SHADES = 256; // of either sign

/** The same for many values: the nearest of 513 shades worked out once. */
export function shades(dark: boolean): (t: number) => Rgb {
  const table = Array.from({ length: 2 * SHADES + 1 }, (_, k) => diverging(k / SHADES - 1, dark));
  return (t) => table[Math.round(SHADES * (Math.min(1, Math.max(-1, t)) + 1))] as Rgb;
}

export function css([r, g, b]: Rgb): string {
  return `rgb(${r} ${g} ${b})`;
}

/** Distinguishable line colours for a row of probes, by place in the row (0..1). */
export function along(t: number, dark: boolean): string {
  return css(fromLch(dark ? 0.6 + 0.25 * t : 0.38 + 0.3 * t, 0.13, 280 - 230 * t));
}
