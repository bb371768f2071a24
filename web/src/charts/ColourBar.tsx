import { css, diverging } from "../colours";
import { deviation, fixed, type Reference } from "../format";
import { isDark } from "../settings";

/** What the colours mean. */
export function ColourBar({ scale, reference }: { scale: number; reference: Reference }) {
  const unit = deviation(reference);
  const dark = isDark.value;
  const steps = 41;
  const end = scale * unit.factor;
  const decimals = end < 1 ? 2 : end < 100 ? 1 : 0;
  return (
    <svg class="colour-bar" viewBox="0 0 240 34" role="img" aria-label={`Colours from ${fixed(-end, decimals)} to ${fixed(end, decimals)} ${unit.unit}`}>
      {Array.from({ length: steps }, (_, k) => (
        <rect key={k} x={(240 * k) / steps} y="0" width={240 / steps + 0.5} height="14" fill={css(diverging((2 * k) / (steps - 1) - 1, dark))} />
      ))}
      <text x="0" y="30" class="tick">
        {fixed(-end, decimals)}
      </text>
      <text x="120" y="30" class="tick" text-anchor="middle">
        0 {unit.unit}
      </text>
      <text x="240" y="30" class="tick" text-anchor="end">
        {fixed(end, decimals)}
      </text>
    </svg>
  );
}
