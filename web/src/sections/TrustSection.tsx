import { useEffect, useMemo, useState } from "preact/hooks";
import { asProblem, type Choices, getTagged, type Problem, put } from "../api";
import { Lines } from "../charts/Lines";
import { along } from "../colours";
import { count, deviation, fixed, shown, WHY_WORDS, uncertain } from "../format";
import type { SurveyView } from "../pages/VisitPage";
import { Needs, Section, Trouble, Warnings } from "../parts";
import { freedSentence, trustAnswer } from "../sentences";
import { may, session } from "../session";
import { isDark } from "../settings";

const FLAGS = ["no_lock", "out_of_range", "outlier", "excluded"];

/** Which readings to believe, and a person's own word about each. */
export function TrustSection({ view, onChanged, busy }: { view: SurveyView; onChanged: () => void; busy: boolean }) {
  const { assessment, readings } = view;
  const survey = assessment.survey;
  const [row, setRow] = useState<number | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [by, setBy] = useState<string | null>(null);
  const path = `magnets/${view.magnet.id}/surveys/${view.file}/choices`;
  useEffect(() => {
    setBy(null);
    if (session.value?.team) {
      getTagged<Choices>(path).then(
        ({ value }) => setBy(value.by ?? null),
        () => setBy(null), // who decided is a remark; the readings themselves are here
      );
    }
  }, [path, view.assessment]);

  const choose = async (change: (c: Choices) => Choices) => {
    setProblem(null);
    try {
      const { value, tag } = await getTagged<Choices>(path);
      await put(path, JSON.stringify(change(value)), tag);
      onChanged();
    } catch (e) {
      setProblem(asProblem(e));
    }
  };
  const faults = survey.set_aside.filter((s) => s.why !== "excluded").length;
  const suspects = [
    ...survey.suspect_probes.map(
      (p) => `probe ${p.probe} reads ${shown(p.offset_ppm, assessment.centre)} off as a whole`,
    ),
    ...survey.suspect_angles.map(
      (a) => `the array stood ${fixed(a.error_deg, 2)}° from where ${fixed(a.angle_deg, 1)}° is stated`,
    ),
  ];
  const answer = trustAnswer(survey, suspects);
  const drift =
    survey.drift_ppm_per_hour === null
      ? "The drift is unknown: no place was read twice with times."
      : `The field drifted by ${uncertain(survey.drift_ppm_per_hour, survey.drift_uncertainty_ppm_per_hour)} ppm per hour; that is taken out.`;
  return (
    <Section
      id="trust"
      question="Can these readings be believed?"
      answer={answer}
      busy={busy}
      next={
        faults > 0 && !may("measure")
          ? "Click a flagged reading to see why. To keep or set aside takes the role “measure”."
          : faults > 0
          ? "Click a flagged reading to see why, and keep it or leave it set aside; everything below follows at once."
          : "Nothing needs your word here. Go on to the field."
      }
    >
      {problem && <Trouble problem={problem} />}
      <p class="note">
        {drift} What is left between readings and model is {shown(assessment.harmonics.residual_rms_ppm, assessment.centre, 3)} (RMS).
      </p>
      {by && (
        <p class="note">
          Kept and set aside by hand: decided last by {by}.
        </p>
      )}
      {survey.freed.length > 0 && (
        <details>
          <summary>Carried in the fit beside the field, as the magnet file asks: {count(survey.freed.length)}</summary>
          <ul>
            {survey.freed.map((f) => (
              <li key={freedSentence(f)}>{freedSentence(f)}</li>
            ))}
          </ul>
        </details>
      )}
      <Warnings list={survey.warnings} />
      <ProbeCurves view={view} onRow={setRow} />
      <Flagged view={view} row={row} onRow={setRow} choose={choose} />
      {row !== null && !survey.set_aside.some((s) => s.row === row) && (
        <OneReading view={view} index={readings.row.indexOf(row)} choose={choose} onClose={() => setRow(null)} />
      )}
    </Section>
  );
}

type Choose = (change: (c: Choices) => Choices) => void;

function without(list: number[], row: number): number[] {
  return list.filter((r) => r !== row);
}

function Flagged(props: { view: SurveyView; row: number | null; onRow: (row: number | null) => void; choose: Choose }) {
  const { view } = props;
  const list = view.assessment.survey.set_aside;
  if (list.length === 0) {
    return null;
  }
  return (
    <table class="data" tabIndex={0}>
      <caption>Readings set aside</caption>
      <thead>
        <tr>
          <th class="num">row</th>
          <th class="num">probe</th>
          <th class="num">angle</th>
          <th>why</th>
          <th class="num">reading − model</th>
          <th>
            <span class="hidden-words">your word</span>
          </th>
        </tr>
      </thead>
      <tbody>
        {list.map((s) => (
          <tr key={s.row} class={props.row === s.row ? "row-on" : ""}>
            <td class="num">
              <button type="button" class="plain" onClick={() => props.onRow(props.row === s.row ? null : s.row)} aria-expanded={props.row === s.row}>
                {s.row}
              </button>
            </td>
            <td class="num">{s.probe ?? "–"}</td>
            <td class="num">{s.angle_deg === null ? "–" : `${fixed(s.angle_deg, 1)}°`}</td>
            <td>
              {WHY_WORDS[s.why] ?? s.why}
              {props.row === s.row && <Why view={view} row={s.row} why={s.why} ppm={s.ppm} />}
            </td>
            <td class="num">{s.ppm === null ? "–" : shown(s.ppm, view.assessment.centre)}</td>
            <td>
              {s.why === "excluded" && may("measure") && (
                <button type="button" onClick={() => props.choose((c) => ({ ...c, leave_out: without(c.leave_out, s.row) }))}>
                  Use it again
                </button>
              )}
              {s.why === "outlier" && may("measure") && (
                <button type="button" onClick={() => props.choose((c) => ({ ...c, keep: [...without(c.keep, s.row), s.row] }))}>
                  Keep it
                </button>
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Why({ view, row, why, ppm }: { view: SurveyView; row: number; why: string; ppm: number | null }) {
  const residual = view.assessment.harmonics.residual_rms_ppm;
  const at = view.readings.row.indexOf(row);
  const place = at >= 0 ? ` It stands at x ${fixed(view.readings.x_mm[at], 1)}, y ${fixed(view.readings.y_mm[at], 1)}, z ${fixed(view.readings.z_mm[at], 1)} mm.` : "";
  const words: Record<string, string> = {
    no_lock: "The reader did not lock, so there is no value.",
    out_of_range: "The value lies outside what the array can read: another line, or no sample.",
    outlier: `It lies ${fixed(Math.abs((ppm ?? 0) / (residual || 1)), 0)} times the usual misfit from what its neighbours say. One bad reading, or a probe bumped for a moment.`,
    excluded: "You left it out.",
  };
  return (
    <span class="why">
      {words[why]}
      {place}
    </span>
  );
}

function OneReading(props: { view: SurveyView; index: number; choose: Choose; onClose: () => void }) {
  const { readings, assessment } = props.view;
  const i = props.index;
  const row = readings.row[i];
  if (row === undefined) {
    return null;
  }
  return (
    <div class="panel reading" role="status">
      <p>
        <strong>Row {row}</strong>: probe {readings.probe[i] ?? "–"} at {readings.angle_deg[i] === null ? "–" : `${fixed(readings.angle_deg[i], 1)}°`},{" "}
        {shown(readings.ppm[i], assessment.centre)}; {WHY_WORDS[readings.state[i] ?? ""] ?? ""}.
        {readings.residual_ppm[i] !== null && ` Reading − model: ${shown(readings.residual_ppm[i], assessment.centre, 3)}.`}
      </p>
      {readings.state[i] === "used" && (
        <Needs role="measure" to="Setting it aside">
          <button
            type="button"
            onClick={() => {
              props.choose((c) => ({ ...c, leave_out: [...c.leave_out, row], keep: without(c.keep, row) }));
              props.onClose();
            }}
          >
            Set it aside
          </button>
        </Needs>
      )}
      <button type="button" class="plain" onClick={props.onClose}>
        Close
      </button>
    </div>
  );
}

/** Chosen probes around the turn; for free points the misfit over the rows. */
function ProbeCurves({ view, onRow }: { view: SurveyView; onRow: (row: number) => void }) {
  const { readings, assessment } = view;
  const probes = useMemo(
    () => [...new Set(readings.probe.filter((p): p is number => p !== null))].sort((a, b) => a - b),
    [readings],
  );
  const suspected = assessment.survey.suspect_probes.map((p) => p.probe);
  const [chosen, setChosen] = useState<number[] | null>(null);
  const [residuals, setResiduals] = useState(false);
  const selected = chosen ?? spread(probes, suspected);
  const unit = deviation(assessment.centre);
  const dark = isDark.value;
  const turning = probes.length > 0;

  const drawn = useMemo(() => {
    const value = (i: number) => {
      const v = (residuals || !turning ? readings.residual_ppm : readings.ppm)[i];
      return v === null || v === undefined || readings.state[i] === "out_of_range" ? null : v * unit.factor;
    };
    if (!turning) {
      return { x: readings.row, rows: [readings.row], curves: [{ label: "misfit", values: readings.row.map((_, i) => value(i)), dots: 3 }] };
    }
    const angles = [...new Set(readings.angle_deg.filter((a): a is number => a !== null))].sort((a, b) => a - b);
    const place = new Map(angles.map((a, k) => [a, k]));
    const rows: number[][] = [];
    const curves = selected.flatMap((p) => {
      const line: (number | null)[] = angles.map(() => null);
      const flagged: (number | null)[] = angles.map(() => null);
      const own: number[] = angles.map(() => -1);
      readings.row.forEach((row, i) => {
        if (readings.probe[i] !== p || readings.state[i] === "revisit") {
          return;
        }
        const k = place.get(readings.angle_deg[i] ?? Number.NaN);
        if (k === undefined) {
          return;
        }
        own[k] = row;
        if (FLAGS.includes(readings.state[i] ?? "")) {
          flagged[k] = value(i);
        } else {
          line[k] = value(i);
        }
      });
      rows.push(own, own);
      const colour = along(probes.length > 1 ? probes.indexOf(p) / (probes.length - 1) : 0, dark);
      return [
        { label: `probe ${p}`, values: line, colour, width: suspected.includes(p) ? 3 : 1.4 },
        { label: `probe ${p}, set aside`, values: flagged, colour, dots: 9 },
      ];
    });
    return { x: angles, rows, curves };
  }, [readings, selected.join(), residuals, unit.factor, dark]);

  return (
    <figure>
      <Lines
        x={drawn.x}
        xLabel={turning ? "angle of the array, °" : "row of the file"}
        yLabel={residuals || !turning ? `reading − model, ${unit.unit}` : `deviation, ${unit.unit}`}
        curves={drawn.curves}
        height={260}
        description={turning ? `Readings of ${selected.length} probes around the turn` : "Misfit of every reading"}
        onPick={(k, curve) => {
          const row = turning ? (curve === null ? undefined : drawn.rows[curve]?.[k]) : readings.row[k];
          if (row !== undefined && row >= 0) {
            onRow(row);
          }
        }}
      />
      {turning && (
        <figcaption>
          <label class="inline">
            <input type="checkbox" checked={residuals} onChange={(e) => setResiduals(e.currentTarget.checked)} />
            show what the model leaves
          </label>
          <div class="probes" role="group" aria-label="Probes shown">
            {probes.map((p) => (
              <label key={p} class={selected.includes(p) ? "chip chip-on" : "chip"}>
                <input
                  type="checkbox"
                  checked={selected.includes(p)}
                  onChange={() =>
                    setChosen(selected.includes(p) ? selected.filter((q) => q !== p) : [...selected, p].sort((a, b) => a - b))
                  }
                />
                {p}
                {suspected.includes(p) && <span title="suspected"> !</span>}
              </label>
            ))}
          </div>
        </figcaption>
      )}
    </figure>
  );
}

/** A few probes from end to end, with every suspected one. */
function spread(probes: number[], suspected: number[]): number[] {
  const few = [0, 0.25, 0.5, 0.75, 1].map((t) => probes[Math.round(t * (probes.length - 1))]);
  return [...new Set([...few, ...suspected])].filter((p): p is number => p !== undefined).sort((a, b) => a - b);
}
