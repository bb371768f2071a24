import type { Bore, Plan } from "../api";

interface Props {
  bore: Bore;
  loading: Plan["loading"];
}

const WIDTH = 1000;
const LEFT = 60;

/** The bore unrolled: a column for each tray, its pockets along z, what goes in and what comes out. */
export function BoreMap({ bore, loading }: Props) {
  const trays = [...new Set(bore.pockets.map((p) => p.tray))].sort((a, b) => a - b);
  const heights = [...new Set(bore.pockets.map((p) => p.z_mm))].sort((a, b) => b - a);
  const row = 26;
  const height = heights.length * row + 66;
  const pitch = (WIDTH - LEFT - 6) / Math.max(1, trays.length);
  const sums = new Map<string, { change: number; words: string[]; total: number }>();
  for (const p of bore.installed ?? []) {
    const key = `${p.tray}/${p.pocket}`;
    const sum = sums.get(key) ?? { change: 0, words: [], total: 0 };
    sum.total += p.count;
    sums.set(key, sum);
  }
  for (const step of loading) {
    const key = `${step.tray}/${step.pocket}`;
    const sum = sums.get(key) ?? { change: 0, words: [], total: 0 };
    sum.change += step.to - step.from;
    sum.words.push(`${step.piece} ${step.from} → ${step.to}`);
    sums.set(key, sum);
  }
  const most = Math.max(1, ...[...sums.values()].map((s) => Math.abs(s.change)));
  return (
    <svg
      class="bore"
      viewBox={`0 0 ${WIDTH} ${height}`}
      role="img"
      aria-label={`The bore unrolled, ${trays.length} trays; ${loading.length} changes. The list below says the same.`}
    >
      <text x={LEFT} y="14" class="tick">
        {bore.plus_z_end ? `+z: ${bore.plus_z_end}` : "+z end"}
      </text>
      {heights.map((z, k) => (
        <text key={z} x={LEFT - 6} y={24 + k * row + 17} text-anchor="end" class="tick">
          {z}
        </text>
      ))}
      <text x="12" y={24 + (heights.length * row) / 2} class="tick" text-anchor="middle" transform={`rotate(-90 12 ${24 + (heights.length * row) / 2})`}>
        z, mm
      </text>
      {bore.pockets.map((p) => {
        const x = LEFT + trays.indexOf(p.tray) * pitch;
        const y = 24 + heights.indexOf(p.z_mm) * row;
        const sum = sums.get(`${p.tray}/${p.pocket}`);
        const change = sum?.change ?? 0;
        const size = Math.sqrt(Math.abs(change) / most);
        return (
          <g key={`${p.tray}/${p.pocket}`}>
            <title>
              {`tray ${p.tray}, pocket ${p.pocket}: ${sum ? sum.words.join(", ") || `${sum.total} installed` : "empty"}`}
            </title>
            <rect
              x={x + 1}
              y={y + 1}
              width={pitch - 2}
              height={row - 2}
              rx="3"
              class={p.forbidden ? "pocket pocket-forbidden" : "pocket"}
            />
            {change !== 0 && (
              <rect
                x={x + 1 + ((pitch - 2) * (1 - size)) / 2}
                y={y + 1 + ((row - 2) * (1 - size)) / 2}
                width={(pitch - 2) * size}
                height={(row - 2) * size}
                rx="2"
                class={change < 0 ? "pocket-out" : size > 0.75 ? "pocket-in" : "pocket-in pocket-few"}
              />
            )}
            {change !== 0 && (
              <text x={x + pitch / 2} y={y + row / 2 + 4} text-anchor="middle" class={size > 0.75 ? "pocket-count on" : "pocket-count"}>
                {change > 0 ? change : `−${-change}`}
              </text>
            )}
            {change === 0 && sum && sum.total > 0 && (
              <text x={x + pitch / 2} y={y + row / 2 + 4} text-anchor="middle" class="pocket-count">
                {sum.total}
              </text>
            )}
          </g>
        );
      })}
      {trays.map((t, k) => (
        <text key={t} x={LEFT + (k + 0.5) * pitch} y={24 + heights.length * row + 16} text-anchor="middle" class="tick">
          {t}
        </text>
      ))}
      <text x={(LEFT + WIDTH) / 2} y={height - 6} text-anchor="middle" class="tick">
        tray
      </text>
    </svg>
  );
}
