import { useMemo, useState } from "preact/hooks";
import { get, type LogSeries, type Magnet, type Stability } from "../api";
import { Lines } from "../charts/Lines";
import { fixed, uncertain } from "../format";
import { Section, Trouble, useLoaded, VerdictMark, Warnings } from "../parts";

/** Whether the field holds still, by a field log of the visit. */
export function StabilitySection({ magnet, logs }: { magnet: Magnet; logs: string[] }) {
  const [chosen, setChosen] = useState<string | null>(null);
  const file = chosen ?? logs[0] ?? null;
  const base = `magnets/${magnet.id}/logs/${file}`;
  const series = useLoaded(file ? `s ${base}` : null, (s) => get<LogSeries>(`${base}/series`, s));
  const stability = useLoaded(file ? `w ${base}` : null, (s) => get<Stability>(`${base}/stability`, s));
  const d = stability.value?.drift;
  const verdict = stability.value?.limits[0];
  const curves = useMemo(() => {
    const v = series.value;
    return v
      ? [
          { label: "highest", values: v.high_ppm, width: 1 },
          { label: "lowest", values: v.low_ppm, width: 1 },
        ]
      : [];
  }, [series.value]);
  return (
    <Section
      id="stability"
      question="Does it hold still?"
      answer={
        file === null
          ? "No field log was kept at this visit, so nothing is known of its stability."
          : d
            ? `At the end of ${file} the field changes by ${uncertain(d.ppm_per_hour, d.uncertainty_ppm_per_hour)} ppm per hour (${d.form}).`
            : stability.busy
              ? "Reading the log …"
              : "The log is too short to tell a drift."
      }
      busy={stability.busy}
      next={file === null ? "Log the field against time, and drop the file here." : undefined}
    >
      {verdict && (
        <p>
          {verdict.id}, at most {fixed(verdict.limit_ppm_per_hour, 2)} ppm per hour: <VerdictMark verdict={verdict.verdict} />
        </p>
      )}
      {logs.length > 1 && (
        <div class="choices">
          <label>
            Log{" "}
            <select value={file ?? ""} onChange={(e) => setChosen(e.currentTarget.value)}>
              {logs.map((l) => (
                <option key={l}>{l}</option>
              ))}
            </select>
          </label>
        </div>
      )}
      {stability.problem && <Trouble problem={stability.problem} />}
      {series.value && (
        <Lines
          x={series.value.time_h}
          xLabel="hours since the log began"
          yLabel="deviation, ppm"
          curves={curves}
          bands={[{ upper: 0, lower: 1 }]}
          description={`The field over ${fixed(stability.value?.log.duration_hours, 1)} hours`}
        />
      )}
      <Warnings list={stability.value?.log.warnings ?? []} />
    </Section>
  );
}
