import type { OutsideIron, Triple } from "../api";

// What is drawn of iron outside, without what draws it.

/** The distance, mm, that has to fit into the view: the farthest piece, the bore, the sphere read. */
export function scaleOf(found: OutsideIron): number {
  const bore = found.bore ? Math.hypot(found.bore.radius_mm, found.bore.half_length_mm) : 0;
  return Math.max(bore, found.read_to_mm, ...found.sources.map((s) => s.from_centre_mm));
}

/**
 * The semi-axes as they are drawn: none shorter than can be seen, so that an ellipsoid thin as a needle still shows
 * where it points, and none reaching farther than the view.
 */
export function semiAxes(axes: [Triple, Triple, Triple], least: number, most = 100 * least): Triple[] {
  return axes.map((v) => {
    const long = Math.hypot(...v);
    const factor = long > 0 ? Math.min(most, Math.max(least, long)) / long : 0;
    return v.map((c) => c * factor) as Triple;
  });
}
