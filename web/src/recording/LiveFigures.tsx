import { useEffect, useMemo, useRef } from "preact/hooks";
import type { Magnet, Recording } from "../api";
import { sound } from "../caller/voice";
import { Lines } from "../charts/Lines";
import { deviation, fixed, prose, shown } from "../format";
import { unit } from "../settings";
import { RateGauge } from "./RateGauge";
import { columns } from "./trace";
import { change, fieldNow, judged, locks, perAmpere, rate, reference, stretch, toTarget } from "./words";

/** What is read, while it is read. */
export function LiveFigures({ magnet, recording }: { magnet: Magnet; recording: Recording }) {
  const f = recording.figures ?? null;
  const at = f ? reference(f, magnet.gamma_MHz_per_T) : null;
  const { factor, unit: name } = deviation(at ?? null);
  const scale = useRef(factor); // the reference moves with every reading; the picture need not
  if (Math.abs(scale.current / factor - 1) > 1e-3) {
    scale.current = factor;
  }
  const drawn = useMemo(() => columns(recording.trace, scale.current), [recording.trace, scale.current]);
  const alarm = recording.alarm_ppm ?? null;
  const curves = useMemo(
    () => [
      { label: "highest", values: drawn.high, width: 0.6 },
      { label: "lowest", values: drawn.low, width: 0.6 },
      { label: "mean", values: drawn.mean, width: 1.8 },
    ],
    [drawn],
  );
  const rules = useMemo(
    () =>
      alarm === null
        ? []
        : [
            { at: alarm * scale.current, label: `alarm +${shown(alarm, at)}` },
            { at: -alarm * scale.current, label: `alarm −${shown(alarm, at)}` },
          ],
    [alarm, scale.current, unit.value],
  );
  useAlarmSound(recording);
  if (!f) {
    return <p class="waiting">Waiting for the first reading …</p>;
  }
  const drift = f.drift_ppm_per_hour;
  const limits = (magnet.limits ?? []).filter((l) => l.measure === "drift");
  return (
    <>
      {f.alarms.length > 0 && (
        <div class="trouble" role="alert">
          <strong>Beyond its limit.</strong>
          <ul class="plain-list">
            {f.alarms.map((a) => (
              <li key={a}>{prose(a)}</li>
            ))}
          </ul>
        </div>
      )}
      <dl class="figures">
        <div>
          <dt>Field now</dt>
          <dd class="figure-large">{fieldNow(f, magnet.gamma_MHz_per_T)}</dd>
        </div>
        <div>
          <dt>Since the first reading</dt>
          <dd>{change(f, magnet.gamma_MHz_per_T)}</dd>
        </div>
        <div>
          <dt>Rate {stretch(recording.over_s)}</dt>
          <dd>{rate(drift, at)}</dd>
        </div>
        <div>
          <dt>Locks</dt>
          <dd class={f.unlocked_probes.length > 0 ? "figure-lost" : ""}>{locks(f)}</dd>
        </div>
        {recording.with_current && (
          <>
            <div>
              <dt>Current</dt>
              <dd>{f.current_A === null ? "not read" : `${fixed(f.current_A, 3)} A`}</dd>
            </div>
            <div>
              <dt>Field per ampere</dt>
              <dd>{perAmpere(f.field_T_per_A)}</dd>
            </div>
          </>
        )}
        {recording.target_MHz != null && (
          <div>
            <dt>Time to {fixed(recording.target_MHz, 4)} MHz</dt>
            <dd>{toTarget(f.hours_to_target)}</dd>
          </div>
        )}
      </dl>
      <Lines
        x={drawn.time}
        xLabel={`${drawn.unit} since the recording began`}
        yLabel={`change, ${name}`}
        curves={curves}
        bands={[{ upper: 0, lower: 1 }]}
        rules={rules}
        height={220}
        description="The change of the field since the recording began"
      />
      {drift && limits.length > 0 && (
        <figure class="gauge-figure">
          <RateGauge drift={drift} limits={limits} factor={factor} unit={name} />
          <figcaption>
            {limits.map((l) => (
              <span key={l.id}>
                {l.id}, at most {shown(l.limit, at, 3)}/h: <strong class={`gauge-${judged(drift, l)}`}>{judged(drift, l)}</strong>
              </span>
            ))}
            <span>the bar is ± two standard uncertainties</span>
          </figcaption>
        </figure>
      )}
    </>
  );
}

/** An alarm that begins is heard, on a page that somebody touched. */
function useAlarmSound(recording: Recording) {
  const begun = (recording.said ?? []).filter((s) => s.alarm).at(-1)?.time ?? "";
  const before = useRef(begun);
  useEffect(() => {
    if (begun > before.current) {
      sound(["repeat"]);
    }
    before.current = begun;
  }, [begun]);
}
