import { useEffect, useRef, useState } from "preact/hooks";
import { day, fixed } from "../format";
import { roundStep } from "./surface";

export interface SeriesPoint {
  key: string;
  time: number;
  value: number;
  /** One standard uncertainty. */
  uncertainty: number | null;
  changed: boolean;
  label: string;
}

interface Props {
  points: SeriesPoint[];
  unit: string;
  /** What was written down, at its time. */
  marks: { time: number; label: string }[];
  rule: { at: number; label: string } | null;
  chosen: string[];
  onPick: (key: string) => void;
  description: string;
}

const HEIGHT = 260;
const LEFT = 66;
const RIGHT = 14;
const TOP = 26;
const FLOOR = HEIGHT - 34;
const YEAR = 365.25 * 86_400_000;

/** Values over the years with bars of two standard uncertainties; a point can be chosen. */
export function Series({ points, unit, marks, rule, chosen, onPick, description }: Props) {
  const host = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(700);
  useEffect(() => {
    const element = host.current;
    if (!element) {
      return;
    }
    const watcher = new ResizeObserver(() => setWidth(Math.max(260, element.clientWidth)));
    watcher.observe(element);
    return () => watcher.disconnect();
  }, []);
  const times = [...points.map((p) => p.time), ...marks.map((m) => m.time)];
  const start = Math.min(...times);
  const span = Math.max(Math.max(...times) - start, 86_400_000);
  const x = (t: number) => LEFT + 12 + ((width - LEFT - RIGHT - 24) * (t - start)) / span;
  const reach = points.flatMap((p) => [p.value - 2 * (p.uncertainty ?? 0), p.value + 2 * (p.uncertainty ?? 0)]);
  const bottom = Math.min(...reach);
  const extent = Math.max(Math.max(...reach) - bottom, 1e-9);
  // A limit far from the values would press them flat; then it stands in the words alone.
  const near = rule !== null && rule.at > bottom - 2 * extent && rule.at < bottom + 3 * extent ? rule : null;
  const low = Math.min(bottom, near?.at ?? bottom) - 0.06 * extent;
  const high = Math.max(bottom + extent, near?.at ?? bottom) + 0.06 * extent;
  const y = (v: number) => FLOOR - ((FLOOR - TOP) * (v - low)) / (high - low);
  const step = roundStep(high - low, 5);
  const decimals = Math.max(0, Math.min(6, -Math.floor(Math.log10(step) + 1e-9)));
  const ticks: number[] = [];
  for (let v = Math.ceil(low / step) * step; v <= high; v += step) {
    ticks.push(v);
  }
  const dates = dateTicks(start, start + span, width);
  return (
    <div class="series" ref={host}>
      <svg width={width} height={HEIGHT} viewBox={`0 0 ${width} ${HEIGHT}`} role="group" aria-label={description}>
        {ticks.map((v) => (
          <g key={v}>
            <line x1={LEFT} x2={width - RIGHT} y1={y(v)} y2={y(v)} class="hairline" />
            <text x={LEFT - 6} y={y(v) + 4} text-anchor="end" class="tick">
              {fixed(v, decimals)}
            </text>
          </g>
        ))}
        <text x="13" y={(TOP + FLOOR) / 2} class="tick" text-anchor="middle" transform={`rotate(-90 13 ${(TOP + FLOOR) / 2})`}>
          {unit}
        </text>
        {dates.map((d) => (
          <text key={d.at} x={x(d.at)} y={FLOOR + 20} class="tick" text-anchor="middle">
            {d.label}
          </text>
        ))}
        {marks.map((m, i) => (
          <g key={`${m.time} ${m.label}`} class="mark">
            <line x1={x(m.time)} x2={x(m.time)} y1={TOP - 8} y2={FLOOR} />
            <text
              x={x(m.time)}
              y={i % 2 === 0 ? TOP - 12 : TOP}
              text-anchor={x(m.time) > width - 70 ? "end" : x(m.time) < LEFT + 40 ? "start" : "middle"}
            >
              {m.label}
            </text>
          </g>
        ))}
        {near && (
          <g class="rule">
            <line x1={LEFT} x2={width - RIGHT} y1={y(near.at)} y2={y(near.at)} />
            <text x={LEFT + 6} y={y(near.at) - 5}>
              {near.label}
            </text>
          </g>
        )}
        {points.map((p) => (
          <Point
            key={p.key}
            point={p}
            x={x(p.time)}
            y={y}
            chosen={chosen.includes(p.key)}
            onPick={() => onPick(p.key)}
          />
        ))}
      </svg>
    </div>
  );
}

function Point(props: { point: SeriesPoint; x: number; y: (v: number) => number; chosen: boolean; onPick: () => void }) {
  const { point, x, y } = props;
  const u = point.uncertainty;
  return (
    <g
      class={`point${point.changed ? " changed" : ""}${props.chosen ? " chosen" : ""}`}
      role="button"
      tabIndex={0}
      aria-pressed={props.chosen}
      aria-label={point.label}
      onClick={props.onPick}
      onKeyDown={(e) => {
        if (e.key === "Enter" || e.key === " ") {
          e.preventDefault();
          props.onPick();
        }
      }}
    >
      <title>{point.label}</title>
      {u !== null && <line x1={x} x2={x} y1={y(point.value - 2 * u)} y2={y(point.value + 2 * u)} />}
      {point.changed ? (
        <rect x={x - 6} y={y(point.value) - 6} width="12" height="12" transform={`rotate(45 ${x} ${y(point.value)})`} />
      ) : (
        <circle cx={x} cy={y(point.value)} r="5" />
      )}
      <circle cx={x} cy={y(point.value)} r="16" class="reach" />
    </g>
  );
}

function dateTicks(start: number, end: number, width: number): { at: number; label: string }[] {
  const most = Math.max(2, Math.floor(width / 130));
  if (end - start < 2 * YEAR) {
    return Array.from({ length: most }, (_, i) => {
      const at = start + ((end - start) * i) / (most - 1);
      return { at, label: day(new Date(at).toISOString()) };
    });
  }
  const first = new Date(start).getUTCFullYear() + 1;
  const last = new Date(end).getUTCFullYear();
  const every = Math.max(1, Math.ceil((last - first + 1) / most));
  const ticks: { at: number; label: string }[] = [];
  for (let year = first; year <= last; year += every) {
    ticks.push({ at: Date.UTC(year, 0, 1), label: String(year) });
  }
  return ticks;
}
