import { useState } from "preact/hooks";
import type { Capture } from "../api";
import { degrees, dialState, same } from "./words";

const RING = 84;

function at(angle: number, radius: number): { x: number; y: number } {
  const turn = (angle * Math.PI) / 180;
  return { x: radius * Math.sin(turn), y: -radius * Math.cos(turn) };
}

const WORDS = { open: "not read yet", next: "next", done: "read", repeat: "to repeat" } as const;

interface Props {
  capture: Capture;
  onPick: (angle: number) => void;
}

/** The turn of the array, 0° at the top and clockwise; an angle that was read can be picked to take it again. */
export function Dial({ capture, onPick }: Props) {
  const angles = capture.angles ?? [];
  const [focus, setFocus] = useState(0);
  const size = Math.min(8, 150 / Math.max(12, angles.length));
  const next = capture.next?.angle_deg;
  const move = (e: KeyboardEvent, from: number) => {
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[e.key];
    if (step !== undefined) {
      e.preventDefault();
      const to = (from + step + angles.length) % angles.length;
      setFocus(to);
      const svg = (e.currentTarget as Element).closest("svg");
      svg?.querySelectorAll<SVGElement>("[data-angle]")[to]?.focus();
    } else if (e.key === "Enter" || e.key === " ") {
      e.preventDefault();
      onPick(angles[from]?.angle_deg ?? 0);
    }
  };
  return (
    <svg class="dial" viewBox="-112 -112 224 224" role="group" aria-label="Angles of the array">
      <circle r={RING} class="dial-ring" />
      {[0, 90, 180, 270].map((a) => {
        const p = at(a, RING - 34);
        return (
          <text key={a} x={p.x} y={p.y} class="dial-label" aria-hidden="true">
            {a}°
          </text>
        );
      })}
      {next !== undefined && <Needle angle={next} />}
      {angles.map((a, i) => {
        const state = dialState(a, capture);
        const p = at(a.angle_deg, RING);
        return (
          <g
            key={a.angle_deg}
            class={`dial-angle dial-${state}`}
            data-angle={a.angle_deg}
            role="button"
            tabIndex={i === Math.min(focus, angles.length - 1) ? 0 : -1}
            aria-label={`${degrees(a.angle_deg)}, ${WORDS[state]}`}
            transform={`translate(${p.x} ${p.y})`}
            onClick={() => onPick(a.angle_deg)}
            onFocus={() => setFocus(i)}
            onKeyDown={(e) => move(e, i)}
          >
            <circle r={Math.max(size + 2, 9)} class="dial-reach" />
            {state === "repeat" ? (
              <rect x={-size} y={-size} width={2 * size} height={2 * size} transform="rotate(45)" class="dial-dot" />
            ) : (
              <circle r={state === "next" ? size * 1.15 : size} class="dial-dot" />
            )}
            {state === "done" && size >= 5 && <path d={`M${-size / 2} 0L${-size / 8} ${size / 2.2}L${size / 2} ${-size / 2.2}`} class="dial-check" />}
            {next !== undefined && same(next, a.angle_deg) && <circle r={size * 1.7} class="dial-halo" />}
          </g>
        );
      })}
    </svg>
  );
}

function Needle({ angle }: { angle: number }) {
  return (
    <g transform={`rotate(${angle})`} aria-hidden="true">
      <path d={`M-4 12L0 ${-RING + 46}L4 12Z`} class="dial-needle" />
    </g>
  );
}
