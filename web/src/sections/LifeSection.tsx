import { useState } from "preact/hooks";
import { asProblem, download, get, type Life, type LifeSurvey, type Magnet, type Problem, query } from "../api";
import { Series, type SeriesPoint } from "../charts/Series";
import { day, decimalsFor, fixed } from "../format";
import { Section, Trouble, useLoaded, VerdictMark, Warnings } from "../parts";
import {
  centreSentence,
  decaySentence,
  EVENT_WORDS,
  eventSentence,
  isPlaced,
  lifeAnswer,
  limitSentence,
  repeatabilitySentence,
  shapeSentence,
  standsOutSentence,
} from "../sentences";
import { numbers } from "../settings";
import type { Pair } from "./DifferenceOfTwo";

interface Props {
  magnet: Magnet;
  /** Changes when files of the magnet did. */
  version: number;
  pair: Pair;
  onPair: (pair: Pair) => void;
}

/** A magnet over the years: each survey held against those before it. */
export function LifeSection({ magnet, version, pair, onPair }: Props) {
  const loaded = useLoaded(`life ${magnet.id} ${version}`, (s) => get<Life>(`magnets/${magnet.id}/life`, s));
  const [problem, setProblem] = useState<Problem | null>(null);
  const [shown, setShown] = useState<string | null>(null);
  const life = loaded.value;
  if (!life) {
    return (
      <Section id="life" question="How did it change over its life?" answer="Holding the visits against each other …" busy>
        {loaded.problem && <Trouble problem={loaded.problem} />}
      </Section>
    );
  }
  const dated = life.surveys.filter(isPlaced);
  const quantities = quantitiesOf(life, dated);
  const quantity = quantities.find((q) => q.id === shown) ?? quantities[0];
  // The survey chosen last becomes the later one of the two compared.
  const pick = (key: string) => {
    if (dated.some((s) => s.file === key) && key !== pair.after) {
      const [a, b] = [pair.after ?? dated[0]?.file ?? key, key];
      const inOrder = dated.findIndex((s) => s.file === a) < dated.findIndex((s) => s.file === b);
      onPair(inOrder ? { before: a, after: b } : { before: b, after: a });
    }
  };
  return (
    <Section id="life" question="How did it change over its life?" answer={lifeAnswer(life)} busy={loaded.busy}>
      {quantity && quantity.points.length > 0 && (
        <>
          <div class="choices">
            <label>
              Show{" "}
              <select value={quantity.id} onChange={(e) => setShown(e.currentTarget.value)}>
                {quantities.map((q) => (
                  <option key={q.id} value={q.id}>
                    {q.name}
                  </option>
                ))}
              </select>
            </label>
          </div>
          <Series
            points={quantity.points}
            unit={quantity.unit}
            marks={life.events.map((e) => ({ time: Date.parse(e.time), label: EVENT_WORDS[e.kind] }))}
            rule={quantity.rule}
            chosen={[pair.before, pair.after].filter((f) => f !== null)}
            onPick={pick}
            description={`${quantity.name} over the years`}
          />
          <p class="soft">
            Bars are two standard uncertainties; a diamond is a survey that found a change. Choose two surveys to see below what differs.
          </p>
        </>
      )}
      {life.decays.map((d) => (
        <p key={d.from}>{decaySentence(d)}</p>
      ))}
      {life.repeatability && <p>{repeatabilitySentence(life.repeatability)}</p>}
      <ol class="life">
        {dated.flatMap((s) =>
          s.judgement ? [<Judged key={s.file} survey={s} onCompare={(before) => onPair({ before, after: s.file })} />] : [],
        )}
      </ol>
      <Years life={life} />
      {problem && <Trouble problem={problem} />}
      <div class="choices">
        <button
          type="button"
          onClick={() => download(`magnets/${magnet.id}/years${query({ numbers: numbers.value })}`).catch((e) => setProblem(asProblem(e)))}
        >
          Yearly summary (PDF)
        </button>
      </div>
      <Warnings list={life.warnings} />
    </Section>
  );
}

function Judged({ survey, onCompare }: { survey: LifeSurvey; onCompare: (before: string) => void }) {
  const j = survey.judgement;
  if (!j) {
    return null;
  }
  const out = standsOutSentence(j);
  return (
    <li class={j.changed ? "changed" : ""}>
      <strong>
        {day(survey.time)}, {survey.file}
      </strong>{" "}
      <span class={`verdict ${j.changed ? "verdict-not_met" : "verdict-met"}`}>
        <span aria-hidden="true">{j.changed ? "◆ " : "✓ "}</span>
        {j.changed ? "changed" : "no change seen"}
      </span>
      {j.events.map((e) => (
        <p key={e.time} class="event">
          {eventSentence(e)}
        </p>
      ))}
      {j.iron_loaded && <p>Iron was loaded since; what it should have done is taken off.</p>}
      <p>
        {shapeSentence(j)} {out}
      </p>
      <details open={j.changed}>
        <summary>Limits and centre field</summary>
        {j.limits.map((c) => (
          <p key={c.id}>{limitSentence(c)}</p>
        ))}
        <p>{centreSentence(j)}</p>
      </details>
      <button
        type="button"
        class="plain"
        onClick={() => {
          onCompare(j.since);
          document.getElementById("difference")?.scrollIntoView();
        }}
      >
        Compare with {j.since}
      </button>
    </li>
  );
}

function Years({ life }: { life: Life }) {
  const limits = life.years.flatMap((y) => y.limits.map((l) => l.id)).filter((id, i, all) => all.indexOf(id) === i);
  return (
    <table class="data" tabIndex={0}>
      <thead>
        <tr>
          <th>year</th>
          <th class="num">visits</th>
          {limits.map((id) => (
            <th key={id} class="num">
              {id}, last (best), ppm
            </th>
          ))}
          <th class="num">centre field, T</th>
          <th class="num">drift, ppm/h</th>
          <th class="num">iron in, g</th>
          <th class="num">out, g</th>
          <th>what happened</th>
        </tr>
      </thead>
      <tbody>
        {life.years.map((y) => (
          <tr key={y.year}>
            <td>{y.year}</td>
            <td class="num">{y.visits}</td>
            {limits.map((id) => {
              const l = y.limits.find((other) => other.id === id);
              return (
                <td key={id} class="num">
                  {l ? (
                    <>
                      {fixed(l.last_ppm, 2)} ({fixed(l.least_ppm, 2)}) <VerdictMark verdict={l.verdict} />
                    </>
                  ) : (
                    "–"
                  )}
                </td>
              );
            })}
            <td class="num">{fixed(y.centre_field_T, 7)}</td>
            <td class="num">{fixed(y.drift_ppm_per_hour, decimalsFor(y.drift_uncertainty_ppm_per_hour, 3))}</td>
            <td class="num">{fixed(y.iron_in_g, 0)}</td>
            <td class="num">{fixed(y.iron_out_g, 0)}</td>
            <td>
              {y.events.map((e) => (
                <div key={e.time}>{eventSentence(e)}</div>
              ))}
              {y.changed.map((file) => (
                <div key={file}>Change found: {file}</div>
              ))}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

interface Quantity {
  id: string;
  name: string;
  unit: string;
  points: SeriesPoint[];
  rule: { at: number; label: string } | null;
}

function quantitiesOf(life: Life, dated: LifeSurvey[]): Quantity[] {
  const list: Quantity[] = [];
  for (const limit of dated.at(-1)?.limits ?? []) {
    if (limit.limit_ppm !== undefined) {
      list.push({
        id: `limit ${limit.id}`,
        name: limit.id,
        unit: "ppm",
        points: points(dated, (s) => {
          const l = s.limits?.find((other) => other.id === limit.id);
          return [l?.value_ppm, l?.uncertainty_ppm];
        }),
        rule: { at: limit.limit_ppm, label: `limit ${fixed(limit.limit_ppm, 1)} ppm` },
      });
    }
  }
  list.push({
    id: "centre",
    name: "centre field",
    unit: "ppm of the first survey's",
    points: points(dated, (s) => [s.centre_ppm, s.centre_uncertainty_ppm]),
    rule: null,
  });
  if (life.drifts.length > 0) {
    list.push({
      id: "drift",
      name: "drift of the logs",
      unit: "ppm/h",
      points: life.drifts.map((d) => ({
        key: d.file,
        time: Date.parse(d.time),
        value: d.ppm_per_hour,
        uncertainty: d.uncertainty_ppm_per_hour,
        changed: d.change?.changed ?? false,
        label: `${day(d.time)}, ${d.file}`,
      })),
      rule: null,
    });
  }
  const most = dated.reduce<LifeSurvey | null>(
    (best, s) => ((s.terms?.length ?? 0) > (best?.terms?.length ?? 0) ? s : best),
    null,
  );
  for (const term of most?.terms ?? []) {
    list.push({
      id: `term ${term.n},${term.m},${term.part}`,
      name: `harmonic ${term.name}`,
      unit: `ppm at ${fixed(life.reference?.radius_mm, 0)} mm`,
      points: points(dated, (s) => {
        const t = s.terms?.find((o) => o.n === term.n && o.m === term.m && o.part === term.part);
        return [t?.value, t?.uncertainty];
      }),
      rule: null,
    });
  }
  return list;
}

function points(
  surveys: LifeSurvey[],
  of: (s: LifeSurvey) => [number | null | undefined, number | null | undefined],
): SeriesPoint[] {
  return surveys.flatMap((s) => {
    const [value, uncertainty] = of(s);
    return value === null || value === undefined
      ? []
      : [
          {
            key: s.file,
            time: Date.parse(s.time ?? ""),
            value,
            uncertainty: uncertainty ?? null,
            changed: s.judgement?.changed ?? false,
            label: `${day(s.time)}, ${s.file}`,
          },
        ];
  });
}
