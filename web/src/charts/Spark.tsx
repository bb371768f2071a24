/** A line of values without axes, the last one marked. */
export function Spark({ values, limit, label }: { values: number[]; limit: number | null; label: string }) {
  if (values.length === 0) {
    return null;
  }
  const top = Math.max(...values, limit ?? 0) * 1.08 || 1;
  const x = (i: number) => (values.length === 1 ? 50 : 4 + (92 * i) / (values.length - 1));
  const y = (v: number) => 26 - (22 * v) / top;
  const path = values.map((v, i) => `${i === 0 ? "M" : "L"}${x(i).toFixed(1)} ${y(v).toFixed(1)}`).join("");
  const last = values.length - 1;
  return (
    <svg class="spark" viewBox="0 0 100 28" role="img" aria-label={label} preserveAspectRatio="none">
      {limit !== null && <line x1="0" x2="100" y1={y(limit)} y2={y(limit)} class="spark-limit" />}
      <path d={path} class="spark-line" />
      <path d={`M${x(last)} ${y(values[last] ?? 0)}h0`} class="spark-dot" />
    </svg>
  );
}
