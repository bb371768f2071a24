import { useMemo, useState } from "preact/hooks";
import { get, type LogSeries, type Magnet, query, type Stability } from "../api";
import { Lines } from "../charts/Lines";
import { fixed, uncertain } from "../format";
import { Section, Trouble, useLoaded, VerdictMark, Warnings } from "../parts";
import { Recorder } from "../recording/Recorder";

/** Whether the field holds still, by a field log of the visit. */
export function StabilitySection({ magnet, logs, onLog }: { magnet: Magnet; logs: string[]; onLog: () => void }) {
  const [chosen, setChosen] = useState<string | null>(null);
  const [chosenProbe, setProbe] = useState<number | null>(null);
  const file = chosen !== null && logs.includes(chosen) ? chosen : (logs[0] ?? null);
  const base = `magnets/${magnet.id}/logs/${file}`;
  const whole = useLoaded(file ? `l ${base}` : null, (s) => get<LogSeries>(`${base}/series`, s));
  const probes = whole.value?.probes ?? [];
  // A log of several probes is judged one probe at a time.
  const probe = probes.length < 2 ? null : chosenProbe !== null && probes.includes(chosenProbe) ? chosenProbe : (probes[0] ?? null);
  const key = whole.value ? `${base} ${probe}` : null;
  const series = useLoaded(key && probe !== null ? `s ${key}` : null, (s) => get<LogSeries>(`${base}/series${query({ probe })}`, s));
  const stability = useLoaded(key && `w ${key}`, (s) => get<Stability>(`${base}/stability${query({ probe })}`, s));
  const shown = probe === null ? whole.value : series.value;
  const d = stability.value?.drift;
  const verdict = stability.value?.limits[0];
  const curves = useMemo(() => {
    const v = shown;
    return v
      ? [
          { label: "highest", values: v.high_ppm, width: 1 },
          { label: "lowest", values: v.low_ppm, width: 1 },
        ]
      : [];
  }, [shown]);
  return (
    <Section
      id="stability"
      question="Does it hold still?"
      answer={
        file === null
          ? "No field log was kept at this visit, so nothing is known of its stability."
          : d
            ? `At the end of ${file} the field changes by ${uncertain(d.ppm_per_hour, d.uncertainty_ppm_per_hour)} ppm per hour (${d.form}).`
              : stability.busy || whole.busy
              ? "Reading the log …"
              : "The log is too short to tell a drift."
      }
      busy={stability.busy || whole.busy}
      next={file === null ? "Record the field against time here, or drop a log on this page." : undefined}
    >
      {verdict && (
        <p>
          {verdict.id}, at most {fixed(verdict.limit_ppm_per_hour, 2)} ppm per hour: <VerdictMark verdict={verdict.verdict} />
        </p>
      )}
      {(logs.length > 1 || probe !== null) && (
        <div class="choices">
          {logs.length > 1 && (
            <label>
              Log{" "}
              <select value={file ?? ""} onChange={(e) => setChosen(e.currentTarget.value)}>
                {logs.map((l) => (
                  <option key={l}>{l}</option>
                ))}
              </select>
            </label>
          )}
          {probe !== null && (
            <label>
              Probe{" "}
              <select value={String(probe)} onChange={(e) => setProbe(Number(e.currentTarget.value))}>
                {probes.map((p) => (
                  <option key={p}>{p}</option>
                ))}
              </select>
            </label>
          )}
        </div>
      )}
      {whole.problem && <Trouble problem={whole.problem} />}
      {stability.problem && <Trouble problem={stability.problem} />}
      {shown && (
        <Lines
          x={shown.time_h}
          xLabel="hours since the log began"
          yLabel="deviation, ppm"
          curves={curves}
          bands={[{ upper: 0, lower: 1 }]}
          description={`The field over ${fixed(stability.value?.log.duration_hours, 1)} hours`}
        />
      )}
      <Warnings list={stability.value?.log.warnings ?? []} />
      <Recorder
        magnet={magnet}
        onSaved={(log) => {
          setChosen(log);
          onLog();
        }}
      />
    </Section>
  );
}
