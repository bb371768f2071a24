import type { Estimate, Limit } from "../api";
import { fixed } from "../format";

const HALF = 150; // of the drawing's width
const ROOM = 1.25;

interface Props {
  drift: Estimate;
  limits: Limit[];
  /** From ppm/h to what is shown. */
  factor: number;
  unit: string;
}

/** The drift with two standard uncertainties, between the limits on it. */
export function RateGauge({ drift, limits, factor, unit }: Props) {
  const u = 2 * (drift.uncertainty ?? 0);
  const widest = Math.max(...limits.map((l) => l.limit));
  const reach = ROOM * Math.max(widest, Math.min(Math.abs(drift.value) + u, 4 * widest));
  const x = (rate: number) => (Math.max(-reach, Math.min(reach, rate)) / reach) * HALF;
  const off = Math.abs(drift.value) > reach;
  return (
    <svg class="gauge" viewBox="-160 -26 320 62" role="img" aria-label={`The drift between its limits of ±${fixed(widest * factor, 3)} ${unit}/h`}>
      <line x1={-HALF} x2={HALF} class="hairline" />
      <line y1="-7" y2="7" class="hairline" />
      {limits.map((l) => (
        <g key={l.id} class="gauge-limit">
          {[-1, 1].map((side) => (
            <g key={side}>
              <line x1={x(side * l.limit)} x2={x(side * l.limit)} y1="-16" y2="16" />
              <text x={x(side * l.limit)} y="30" text-anchor="middle">
                {side < 0 ? "−" : "+"}
                {fixed(l.limit * factor, l.limit * factor < 1 ? 2 : 1)}
              </text>
            </g>
          ))}
        </g>
      ))}
      <line class="gauge-bar" x1={x(drift.value - u)} x2={x(drift.value + u)} />
      <circle class="gauge-point" cx={x(drift.value)} r="6" />
      {off && (
        <text class="tick" x={x(drift.value)} y="-12" text-anchor={drift.value > 0 ? "end" : "start"}>
          far beyond
        </text>
      )}
    </svg>
  );
}
