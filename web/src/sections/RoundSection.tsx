import { useState } from "preact/hooks";
import { asProblem, changeLists, type Comparison, get, lastPlanFrom, post, type Problem, query } from "../api";
import { decimalsFor, fixed, shown } from "../format";
import type { SurveyView } from "../pages/VisitPage";
import { Needs, Section, Trouble, useLoaded, VerdictMark, Warnings } from "../parts";
import { outcomeAnswer, suspicionSentence } from "../sentences";
import { session } from "../session";

interface Props {
  view: SurveyView;
  surveys: string[];
  /** After a round was recorded, or the sample surveyed again (then with the survey's name). */
  onSurvey: (file: string | null) => void;
}

/** Whether loading did what was predicted, and what is learned from it. */
export function RoundSection({ view, surveys, onSurvey }: Props) {
  const { magnet } = view;
  const [before, setBefore] = useState<string | null>(null);
  const [after, setAfter] = useState<string | null>(null);
  const [changes, setChanges] = useState<string | null>(null);
  const first = before ?? surveys[0] ?? null;
  const second = after ?? (surveys.length > 1 ? (surveys[surveys.length - 1] ?? null) : null);
  const lists = changeLists(magnet);
  const list = changes ?? (lastPlanFrom(magnet, first) || (lists.at(-1) ?? ""));
  const ready = first !== null && second !== null && first !== second;
  const compared = useLoaded(ready ? `${magnet.id} ${first} ${second} ${list} ${view.version} ${magnet.rounds.length}` : null, (s) =>
    get<Comparison>(`magnets/${magnet.id}/comparison${query({ before: first, after: second, changes: list })}`, s),
  );
  const c = compared.value;
  const main = c?.limits[0];
  const answer = !ready
    ? "There is one survey so far; after loading, survey again and the two are compared here."
    : main
      ? outcomeAnswer(main, view.assessment.centre)
      : "The two surveys are being compared.";
  return (
    <Section
      id="round"
      question="Did loading do what was predicted?"
      answer={answer}
      busy={compared.busy}
      next={
        c?.loaded?.suspicions.some((s) => s.strong)
          ? "Check the trays named above before planning again."
          : ready
            ? "If limits are still missed, plan the next round from the later survey."
            : undefined
      }
    >
      {magnet.can_load && (
        <Needs role="measure" to="Recording a round">
          <Record view={view} lists={lists} onSurvey={onSurvey} />
        </Needs>
      )}
      {surveys.length > 1 && (
        <div class="choices">
          <label>
            From{" "}
            <select value={first ?? ""} onChange={(e) => setBefore(e.currentTarget.value)}>
              {surveys.map((s) => (
                <option key={s}>{s}</option>
              ))}
            </select>
          </label>
          <label>
            to{" "}
            <select value={second ?? ""} onChange={(e) => setAfter(e.currentTarget.value)}>
              {surveys.map((s) => (
                <option key={s}>{s}</option>
              ))}
            </select>
          </label>
          <label>
            loaded by{" "}
            <select value={list} onChange={(e) => setChanges(e.currentTarget.value)}>
              <option value="">nothing</option>
              {lists.map((s) => (
                <option key={s}>{s}</option>
              ))}
            </select>
          </label>
        </div>
      )}
      {compared.problem && <Trouble problem={compared.problem} />}
      {c && <Outcome view={view} c={c} />}
    </Section>
  );
}

function Outcome({ view, c }: { view: SurveyView; c: Comparison }) {
  const terms = [...c.harmonics.terms]
    .filter((t) => t.change !== null)
    .sort((a, b) => Math.abs(b.change ?? 0) - Math.abs(a.change ?? 0))
    .slice(0, 8);
  return (
    <>
      <table class="data" tabIndex={0}>
        <thead>
          <tr>
            <th>limit</th>
            <th class="num">before</th>
            <th class="num">predicted</th>
            <th class="num">found</th>
            <th>verdict</th>
          </tr>
        </thead>
        <tbody>
          {c.limits.map((l) => (
            <tr key={l.id}>
              <td>{l.id}</td>
              <td class="num">{shown(l.before.value_ppm, view.assessment.centre)}</td>
              <td class="num">{l.predicted_ppm === null ? "–" : shown(l.predicted_ppm, view.assessment.centre)}</td>
              <td class="num">{shown(l.after.value_ppm, view.assessment.centre)}</td>
              <td>
                <VerdictMark verdict={l.after.verdict} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {c.loaded && c.loaded.strengths.length > 0 && (
        <p class="note">
          Learned strength of the pieces:{" "}
          {c.loaded.strengths
            .map((s) => `${s.piece} ${fixed(s.factor, decimalsFor(s.uncertainty))} ± ${fixed(s.uncertainty, decimalsFor(s.uncertainty))}${s.learned ? "" : " (this round says too little)"}`)
            .join("; ")}
          .
        </p>
      )}
      {c.loaded && c.loaded.suspicions.length > 0 && (
        <>
          <h3>What may differ from the sheet</h3>
          <ol class="suspicions">
            {c.loaded.suspicions.slice(0, 5).map((s) => (
              <li key={JSON.stringify(s)} class={s.strong ? "strong" : ""}>
                {suspicionSentence(s)} <span class="soft">evidence {fixed(s.evidence, 1)}{s.strong ? ", strong" : ""}</span>
              </li>
            ))}
          </ol>
        </>
      )}
      <Warnings list={c.warnings} />
      <details>
        <summary>Harmonic by harmonic</summary>
        <table class="data" tabIndex={0}>
          <thead>
            <tr>
              <th>term</th>
              <th class="num">before</th>
              <th class="num">after</th>
              <th class="num">change</th>
              <th class="num">predicted change</th>
              <th class="num">u</th>
            </tr>
          </thead>
          <tbody>
            {terms.map((t) => (
              <tr key={t.name}>
                <td>{t.name}</td>
                <td class="num">{fixed(t.before, 2)}</td>
                <td class="num">{fixed(t.after, 2)}</td>
                <td class="num">{fixed(t.change, 2)}</td>
                <td class="num">{fixed(t.predicted, 2)}</td>
                <td class="num">{fixed(t.uncertainty, 3)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </>
  );
}

/** What was really loaded goes on record; the sample magnet can be surveyed again. */
function Record({ view, lists, onSurvey }: { view: SurveyView; lists: string[]; onSurvey: Props["onSurvey"] }) {
  const { magnet } = view;
  const signed = session.value?.person ?? null;
  const [typed, setBy] = useState("");
  const by = signed ?? typed;
  const [note, setNote] = useState("");
  const [list, setList] = useState<string | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [busy, setBusy] = useState("");
  const chosen = list ?? magnet.plans.at(-1)?.changes ?? lists.at(-1) ?? "";
  if (lists.length === 0) {
    return null;
  }
  const during = async (what: string, work: () => Promise<string | null>) => {
    setProblem(null);
    setBusy(what);
    try {
      onSurvey(await work());
    } catch (e) {
      setProblem(asProblem(e));
    } finally {
      setBusy("");
    }
  };
  return (
    <form
      class="ask panel"
      onSubmit={(e) => {
        e.preventDefault();
        during("Recording …", async () => {
          await post(`magnets/${magnet.id}/rounds`, { changes: chosen, by, note });
          return null;
        });
      }}
    >
      <label>
        Loaded was
        <select value={chosen} onChange={(e) => setList(e.currentTarget.value)}>
          {lists.map((f) => (
            <option key={f}>{f}</option>
          ))}
        </select>
      </label>
      <label>
        By
        <input value={by} required readOnly={signed !== null} maxLength={80} onInput={(e) => setBy(e.currentTarget.value)} />
      </label>
      <label>
        Note
        <input value={note} maxLength={400} onInput={(e) => setNote(e.currentTarget.value)} />
      </label>
      <button type="submit" disabled={busy !== ""}>
        Record the round
      </button>
      {magnet.can_rehearse && (
        <button
          type="button"
          disabled={busy !== ""}
          onClick={() =>
            during("Surveying the sample again …", async () =>
              (await post<{ file: string }>(`magnets/${magnet.id}/rehearsal`, { changes: chosen })).file,
            )
          }
        >
          Survey the sample as loaded
        </button>
      )}
      {busy && <p class="waiting" role="status">{busy}</p>}
      {problem && <Trouble problem={problem} />}
      {magnet.rounds.length > 0 && (
        <p class="note">
          On record: {magnet.rounds.map((r) => `round ${r.round} by ${r.by}`).join(", ")}.
        </p>
      )}
    </form>
  );
}
