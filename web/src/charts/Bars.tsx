import type { TermValue } from "../api";
import { deviation, fixed, type Reference } from "../format";
import { roundStep } from "./surface";

interface Props {
  terms: TermValue[];
  /** Values to show beside, by the same order. */
  beside?: (number | null)[];
  off: Set<string>;
  onToggle: (key: string) => void;
  reference: Reference;
}

export function keyOf(t: { n: number; m: number; part: string }): string {
  return `${t.n},${t.m},${t.part}`;
}

const WIDTH = 1000;
const HEIGHT = 300;
const LEFT = 62;
const FLOOR = 252;
const TOP = 12;

/** Harmonics as bars with the interval of two standard uncertainties; a bar is a switch. */
export function Bars({ terms, off, onToggle, reference }: Props) {
  const unit = deviation(reference);
  const reach = Math.max(...terms.map((t) => Math.abs(t.value ?? 0) + 2 * (t.uncertainty ?? 0)), 1e-9);
  const middle = (FLOOR + TOP) / 2;
  const y = (v: number) => middle - ((middle - TOP) * v) / reach;
  const pitch = (WIDTH - LEFT - 8) / terms.length;
  const step = roundStep(2 * reach * unit.factor, 6);
  const ticks: number[] = [];
  for (let v = Math.ceil((-reach * unit.factor) / step) * step; v <= reach * unit.factor; v += step) {
    ticks.push(v);
  }
  const decimals = Math.max(0, Math.min(4, -Math.floor(Math.log10(step))));
  return (
    <svg class="bars" viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="group" aria-label="Harmonics; each bar is a switch">
      {ticks.map((v) => (
        <g key={v}>
          <line x1={LEFT} x2={WIDTH} y1={y(v / unit.factor)} y2={y(v / unit.factor)} class="hairline" />
          <text x={LEFT - 6} y={y(v / unit.factor) + 4} text-anchor="end" class="tick">
            {fixed(v, decimals)}
          </text>
        </g>
      ))}
      <text x="14" y={middle} class="tick" text-anchor="middle" transform={`rotate(-90 14 ${middle})`}>
        {unit.unit}
      </text>
      {terms.map((t, i) => {
        const x = LEFT + i * pitch;
        const key = keyOf(t);
        const value = t.value ?? 0;
        const u = 2 * (t.uncertainty ?? 0);
        const isOff = off.has(key);
        const words =
          t.value === null
            ? `${t.name}: this sampling cannot see it`
            : `${t.name} ${fixed(value * unit.factor, 2)} ${unit.unit} ± ${fixed(((t.uncertainty ?? 0) * unit.factor), 3)}`;
        return (
          <g
            key={key}
            role="switch"
            aria-checked={!isOff}
            aria-label={words}
            tabIndex={0}
            class={`bar ${isOff ? "bar-off" : value < 0 ? "bar-below" : "bar-above"}`}
            onClick={() => onToggle(key)}
            onKeyDown={(e) => {
              if (e.key === " " || e.key === "Enter") {
                e.preventDefault();
                onToggle(key);
              }
            }}
          >
            <title>{words}</title>
            <rect x={x} y={TOP} width={pitch} height={FLOOR - TOP + 40} class="bar-reach" />
            <rect
              x={x + 0.14 * pitch}
              width={0.72 * pitch}
              y={Math.min(y(0), y(value))}
              height={Math.max(0.8, Math.abs(y(value) - y(0)))}
              class="bar-body"
            />
            <line x1={x + pitch / 2} x2={x + pitch / 2} y1={y(value - u)} y2={y(value + u)} class="bar-error" />
            {t.value === null && (
              <text x={x + pitch / 2} y={middle - 6} text-anchor="middle" class="tick">
                ?
              </text>
            )}
            {pitch > 15 && (
              <text
                x={x + pitch / 2}
                y={FLOOR + 8}
                class="tick"
                text-anchor="end"
                transform={`rotate(-55 ${x + pitch / 2} ${FLOOR + 10})`}
              >
                {t.name}
              </text>
            )}
          </g>
        );
      })}
    </svg>
  );
}
