import { useState } from "preact/hooks";
import { get, type LimitResult, query } from "../api";
import { Bars, keyOf } from "../charts/Bars";
import { decimalsFor, fixed, prose, shown } from "../format";
import type { SurveyView } from "../pages/VisitPage";
import { Section, useLoaded, VerdictMark } from "../parts";
import { someOf } from "../sentences";

/** What the field is made of, and what it would be without a term. */
export function HarmonicsSection({ view }: { view: SurveyView }) {
  const { assessment } = view;
  const [off, setOff] = useState<Set<string>>(new Set());
  const [all, setAll] = useState(false);
  const h = assessment.harmonics;
  const byDegree = h.terms.filter((t) => all || t.n <= 4);
  const strongest = [...h.terms].sort((a, b) => Math.abs(b.value ?? 0) - Math.abs(a.value ?? 0));
  const base = `magnets/${view.magnet.id}/surveys/${view.file}`;
  const removed = [...off];
  const whatIf = useLoaded(removed.length > 0 ? `${base} ${removed.join(" ")} ${view.version}` : null, (s) =>
    get<{ limits: LimitResult[] }>(`${base}/limits${query({ without: removed })}`, s),
  );
  const toggle = (key: string) => {
    const next = new Set(off);
    if (!next.delete(key)) {
      next.add(key);
    }
    setOff(next);
  };
  const names = removed.map((k) => h.terms.find((t) => keyOf(t) === k)?.name ?? k);
  return (
    <Section
      id="harmonics"
      question="What is it made of?"
      answer={`The strongest terms are ${someOf(strongest.slice(0, 3).map((t) => `${t.name} (${shown(t.value, assessment.centre, 1)})`))}, at ${fixed(h.reference_radius_mm, 0)} mm.`}
      next="Switch a term off by its bar to see what the magnet would be if it were gone."
      busy={whatIf.busy}
    >
      <p class="note">
        Degree {h.degree}: {prose(h.degree_reason)}. Schmidt semi-normalised; error bars are two standard uncertainties. Condition{" "}
        {fixed(h.condition, 1)}.
      </p>
      <div class="wide" tabIndex={0}>
        <Bars terms={byDegree} off={off} onToggle={toggle} reference={assessment.centre} />
      </div>
      <div class="choices">
        <label class="inline">
          <input type="checkbox" checked={all} onChange={(e) => setAll(e.currentTarget.checked)} />
          all {h.terms.length} terms
        </label>
        {off.size > 0 && (
          <button type="button" class="plain" onClick={() => setOff(new Set())}>
            put every term back
          </button>
        )}
      </div>
      {off.size > 0 && whatIf.value && (
        <div class="panel" role="status">
          <p>
            Without {someOf(names)}:
          </p>
          <ul class="what-if">
            {whatIf.value.limits
              .filter((l) => l.verdict !== "not_assessed")
              .map((l) => {
                const now = assessment.limits.find((x) => x.id === l.id);
                return (
                  <li key={l.id}>
                    {l.id}: {shown(now?.value_ppm, assessment.centre)} → <strong>{shown(l.value_ppm, assessment.centre)}</strong>{" "}
                    <VerdictMark verdict={l.verdict} />
                  </li>
                );
              })}
          </ul>
        </div>
      )}
      <details>
        <summary>As a table</summary>
        <table class="data" tabIndex={0}>
          <thead>
            <tr>
              <th>term</th>
              <th class="num">n</th>
              <th class="num">m</th>
              <th>part</th>
              <th class="num">value, ppm</th>
              <th class="num">standard uncertainty</th>
            </tr>
          </thead>
          <tbody>
            {byDegree.map((t) => (
              <tr key={keyOf(t)}>
                <td>{t.name}</td>
                <td class="num">{t.n}</td>
                <td class="num">{t.m}</td>
                <td>{t.part}</td>
                <td class="num">{t.value === null ? "not seen" : fixed(t.value, decimalsFor(t.uncertainty))}</td>
                <td class="num">{fixed(t.uncertainty, decimalsFor(t.uncertainty))}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </Section>
  );
}
