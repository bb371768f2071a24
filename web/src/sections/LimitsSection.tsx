import { useMemo, useState } from "preact/hooks";
import { type ByRadius, get, type LimitResult } from "../api";
import { Lines } from "../charts/Lines";
import { decimalsFor, deviation, fixed, MEASURE_WORDS, type Reference, shown } from "../format";
import type { SurveyView } from "../pages/VisitPage";
import { Section, Trouble, useLoaded, VerdictMark } from "../parts";
import { limitsAnswer } from "../sentences";

const SOURCES: Record<string, [string, string]> = {
  reading: ["scatter of the readings", "average more, or read more places"],
  position: ["position of the probes", "measure the array, or set it more firmly"],
  angle: ["angle of the array", "read the angle more finely"],
  normalisation: ["probes against each other", "check the probes at one place"],
  drift: ["drift during the survey", "go back to the first angle more often"],
  modulus: ["|B| read in place of the component", "have it taken off: array.modulus in the magnet file"],
};

/** Whether the magnet is uniform enough, limit by limit and radius by radius. */
export function LimitsSection({ view }: { view: SurveyView }) {
  const { assessment } = view;
  const judged = assessment.limits.filter((l) => l.verdict !== "not_assessed");
  const failed = judged.filter((l) => l.verdict === "not_met").map((l) => l.id);
  const open = judged.filter((l) => l.verdict === "undecided").map((l) => l.id);
  const answer = limitsAnswer(judged.length, failed, open);
  return (
    <Section
      id="limits"
      question="Is it uniform enough?"
      answer={answer}
      next={
        failed.length > 0
          ? view.magnet.can_load
            ? "Plan what to load, below."
            : "The magnet file names no pockets; add iron or coils there to plan a correction."
          : open.length > 0
            ? "The largest source of uncertainty is named below with what would reduce it."
            : "Watch it settle, then put it on paper."
      }
    >
      <table class="data" tabIndex={0}>
        <thead>
          <tr>
            <th>limit</th>
            <th>measure</th>
            <th class="num">found</th>
            <th class="num">u</th>
            <th class="num">allowed</th>
            <th>verdict</th>
          </tr>
        </thead>
        <tbody>
          {assessment.limits.map((l) => (
            <tr key={l.id}>
              <td>{l.id}</td>
              <td>{MEASURE_WORDS[l.measure]}</td>
              <td class="num">{shown(l.value_ppm, assessment.centre, decimalsFor(l.uncertainty_ppm))}</td>
              <td class="num">{l.uncertainty_ppm === null ? "–" : shown(l.uncertainty_ppm, assessment.centre, decimalsFor(l.uncertainty_ppm))}</td>
              <td class="num">
                {l.limit_ppm === undefined ? `${fixed(l.limit_ppm_per_hour, 2)} ppm/h` : shown(l.limit_ppm, assessment.centre)}
              </td>
              <td>
                <VerdictMark verdict={l.verdict} />
                {l.verdict === "not_assessed" && <span class="soft"> (by the field log, below)</span>}
                {l.extrapolated && <span class="complaint"> beyond the readings</span>}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      <Budget limits={judged} reference={assessment.centre} />
      <Radius view={view} />
    </Section>
  );
}

function Budget({ limits, reference }: { limits: LimitResult[]; reference: Reference }) {
  const worst = limits.find((l) => (l.budget?.length ?? 0) > 0);
  if (!worst?.budget) {
    return null;
  }
  const lines = [...worst.budget].sort((a, b) => b.uncertainty_ppm - a.uncertainty_ppm);
  const most = lines[0];
  const total = Math.sqrt(lines.reduce((s, l) => s + l.uncertainty_ppm ** 2, 0)) || 1;
  return (
    <details>
      <summary>
        Where the uncertainty of {worst.id} comes from: most from the {SOURCES[most?.source ?? ""]?.[0] ?? most?.source}
      </summary>
      <ul class="budget">
        {lines.map((l) => (
          <li key={l.source}>
            <span>{SOURCES[l.source]?.[0] ?? l.source}</span>
            <meter min={0} max={total} value={l.uncertainty_ppm} aria-label={SOURCES[l.source]?.[0] ?? l.source} />
            <span class="num">{shown(l.uncertainty_ppm, reference, 3)}</span>
          </li>
        ))}
      </ul>
      <p class="note">To reduce it: {SOURCES[most?.source ?? ""]?.[1] ?? "look at the largest source"}.</p>
    </details>
  );
}

function Radius({ view }: { view: SurveyView }) {
  const { assessment, magnet } = view;
  const [measure, setMeasure] = useState<"peak_to_peak" | "volume_rms">("peak_to_peak");
  const base = `magnets/${magnet.id}/surveys/${view.file}`;
  const loaded = useLoaded(`${base} radius ${view.version}`, (s) => get<ByRadius>(`${base}/by-radius`, s));
  const unit = deviation(assessment.centre);
  const band = loaded.value?.[measure];
  const curves = useMemo(
    () =>
      band
        ? [
            { label: "found", values: band.ppm.map((v) => v * unit.factor), width: 2 },
            { label: "high", values: band.high_ppm.map((v) => (v === null ? null : v * unit.factor)), width: 0 },
            { label: "low", values: band.low_ppm.map((v) => (v === null ? null : v * unit.factor)), width: 0 },
          ]
        : [],
    [band, unit.factor],
  );
  const rules = useMemo(
    () =>
      (magnet.limits ?? [])
        .filter((l) => l.measure === measure && l.shape === "sphere" && l.diameter_mm)
        .map((l) => ({
          at: l.limit * unit.factor,
          from: 0,
          to: (l.diameter_mm ?? 0) / 2,
          label: `${l.id}: ${fixed(l.limit * unit.factor, unit.factor === 1 ? 1 : 0)} ${unit.unit}`,
        })),
    [magnet, measure, unit.factor],
  );
  return (
    <figure>
      <div class="choices">
        <label>
          Against radius:{" "}
          <select value={measure} onChange={(e) => setMeasure(e.currentTarget.value as typeof measure)}>
            <option value="peak_to_peak">peak-to-peak</option>
            <option value="volume_rms">volume RMS</option>
          </select>
        </label>
      </div>
      {loaded.problem && <Trouble problem={loaded.problem} />}
      {!loaded.value && !loaded.problem && <p class="waiting">Searching the spheres …</p>}
      {loaded.value && (
        <Lines
          x={loaded.value.radius_mm}
          xLabel="radius of the sphere, mm"
          yLabel={`${MEASURE_WORDS[measure]}, ${unit.unit}`}
          curves={curves}
          bands={[{ upper: 1, lower: 2 }]}
          rules={rules}
          description={
            rules.length > 0 ? "Homogeneity against radius with its 95 % band and the limits" : "Homogeneity against radius with its 95 % band"
          }
        />
      )}
    </figure>
  );
}
