import type { SeatAdvice } from "../api";
import { fixed } from "../format";
import { edge, placed } from "./words";

const RING = 100;

/** The bore from the front and from the side, with the array's centre about where it should be. */
export function BorePicture({ advice }: { advice: SeatAdvice }) {
  const reach = edge(advice);
  const end = advice.plus_z_end;
  return (
    <figure class="bore-pictures">
      <View
        advice={advice}
        reach={reach}
        right={1}
        up={0}
        round
        marks={["0°", "90°", "180°", "270°"]}
        title={`From the front, looking towards +z${end ? ` (${end})` : ""}`}
      />
      <View
        advice={advice}
        reach={reach}
        right={2}
        up={0}
        round={false}
        marks={["0°", "+z", "180°", "−z"]}
        title={`From the side${end ? `; ${end} at the right` : ""}`}
      />
      <figcaption>
        <span>✛ where the centre should be · ● where it is, with the ellipse of two standard uncertainties</span>
        <span>shaded: within {fixed(advice.tolerance_mm, 2)} mm · enlarged: the edge is {reach} mm from the middle, not the bore's wall</span>
      </figcaption>
    </figure>
  );
}

interface ViewProps {
  advice: SeatAdvice;
  /** Distance of the edge, mm. */
  reach: number;
  /** Axes of the array drawn to the right and up: 0 x (0°), 1 y (90°), 2 z. */
  right: number;
  up: number;
  round: boolean;
  /** At the top, right, bottom and left. */
  marks: [string, string, string, string];
  title: string;
}

function View({ advice, reach, right, up, round, marks, title }: ViewProps) {
  const scale = RING / reach;
  const where = placed(advice, right, up);
  const [x, y] = [where.at[0] * scale, -where.at[1] * scale];
  const across = advice.components[0]?.direction ?? [1, 0, 0];
  const turn = round ? (Math.atan2(across[up] ?? 0, across[right] ?? 0) * 180) / Math.PI : 0;
  const box = advice.tolerance_mm * scale;
  const clip = `edge-${right}${up}`;
  const shape = round ? <circle r={RING} /> : <rect x={-RING} y={-RING} width={2 * RING} height={2 * RING} rx="3" />;
  const far = Math.hypot(x, y);
  return (
    <div>
      <p class="bore-title">{title}</p>
      <svg viewBox="-142 -122 284 246" role="img" aria-label={title} class={advice.seated ? "bore-view bore-seated" : "bore-view"}>
      <clipPath id={clip}>{shape}</clipPath>
      <g class="bore-edge">{shape}</g>
      {round ? <circle r={RING / 2} class="bore-ring" /> : <path d={`M${-RING} ${-RING}H${RING}M${-RING} ${RING}H${RING}`} class="bore-wall" />}
      <rect x={-box} y={-box} width={2 * box} height={2 * box} transform={`rotate(${-turn})`} class="bore-within" />
      <g clip-path={`url(#${clip})`}>
        <ellipse
          cx={x}
          cy={y}
          rx={Math.max(1.5, where.half[0] * scale)}
          ry={Math.max(1.5, where.half[1] * scale)}
          transform={`rotate(${-where.turn_deg} ${x} ${y})`}
          class="bore-ellipse"
        />
        {far > 14 && !advice.seated && <Arrow x={x} y={y} far={far} />}
        <path d="M-9 0H9M0 -9V9" class="bore-target" />
        <circle cx={x} cy={y} r="5" class="bore-point" />
      </g>
      <text class="tick" y={-RING - 6} text-anchor="middle">{marks[0]}</text>
      <text class="tick" x={RING + 4} y="4">{marks[1]}</text>
      <text class="tick" y={RING + 15} text-anchor="middle">{marks[2]}</text>
      <text class="tick" x={-RING - 4} y="4" text-anchor="end">{marks[3]}</text>
      <text class="tick" x={RING * 0.72} y={RING + 15} text-anchor="middle">{reach} mm</text>
      </svg>
    </div>
  );
}

/** From where it is to where it should be. */
function Arrow({ x, y, far }: { x: number; y: number; far: number }) {
  const tip = 10 / far;
  const turn = (Math.atan2(-y, -x) * 180) / Math.PI;
  return (
    <g class="bore-arrow">
      <line x1={x} y1={y} x2={x * tip} y2={y * tip} />
      <path d="M0 0L-10 -5V5Z" transform={`translate(${x * tip} ${y * tip}) rotate(${turn})`} />
    </g>
  );
}
