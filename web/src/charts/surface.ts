import type { Surface } from "../api";

export interface Place {
  polarDeg: number;
  azimuthDeg: number;
}

export interface Mark extends Place {
  kind: "used" | "aside" | "extreme";
}

/** The value of a surface at a place, between its grid points. */
export function valueAt(surface: Surface, place: Place): number {
  const rows = surface.polar_steps;
  const columns = surface.azimuth_steps;
  const u = (place.polarDeg / 180) * rows;
  const v = ((((place.azimuthDeg % 360) + 360) % 360) / 360) * columns;
  const i = Math.min(rows - 1, Math.max(0, Math.floor(u)));
  const j = Math.min(columns - 1, Math.floor(v));
  const at = (a: number, b: number) => surface.ppm[a * (columns + 1) + b] ?? 0;
  const s = u - i;
  const t = v - j;
  return (
    (1 - s) * ((1 - t) * at(i, j) + t * at(i, j + 1)) + s * ((1 - t) * at(i + 1, j) + t * at(i + 1, j + 1))
  );
}

/** A round step that cuts a range into about so many parts. */
export function roundStep(range: number, parts: number): number {
  const rough = range / parts;
  const power = 10 ** Math.floor(Math.log10(rough));
  const factor = rough / power;
  return power * (factor < 1.5 ? 1 : factor < 3.5 ? 2 : factor < 7.5 ? 5 : 10);
}

/** Lines of equal value through the cells of a surface, as pairs of points in grid coordinates. */
export function contour(surface: Surface, level: number): [number, number, number, number][] {
  const rows = surface.polar_steps;
  const columns = surface.azimuth_steps;
  const lines: [number, number, number, number][] = [];
  const at = (i: number, j: number) => (surface.ppm[i * (columns + 1) + j] ?? 0) - level;
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < columns; j++) {
      const corners: [number, number, number][] = [
        [i, j, at(i, j)],
        [i, j + 1, at(i, j + 1)],
        [i + 1, j + 1, at(i + 1, j + 1)],
        [i + 1, j, at(i + 1, j)],
      ];
      const cuts: [number, number][] = [];
      for (let k = 0; k < 4; k++) {
        const a = corners[k] as [number, number, number];
        const b = corners[(k + 1) % 4] as [number, number, number];
        if (a[2] < 0 !== b[2] < 0) {
          const t = a[2] / (a[2] - b[2]);
          cuts.push([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
        }
      }
      for (let k = 0; k + 1 < cuts.length; k += 2) {
        const [p, q] = [cuts[k], cuts[k + 1]] as [[number, number], [number, number]];
        lines.push([p[0], p[1], q[0], q[1]]);
      }
    }
  }
  return lines;
}
