import { useState } from "preact/hooks";
import { asProblem, changeLists, download, lastPlanFrom, type Magnet, type Problem, query } from "../api";
import type { SurveyView } from "../pages/VisitPage";
import { Section, Trouble } from "../parts";
import { may, session, whyNot } from "../session";
import { numbers } from "../settings";

/** What was loaded and the survey after it; "" where there is none. */
export interface Round {
  changes: string;
  after: string;
}

/** The visit's surveys in turn, each after the last plan made from the one before; a plan from the last is yet to be loaded. */
export function roundsOf(magnet: Magnet, surveys: string[]): Round[] {
  const rounds = surveys.slice(1).map((after, k) => ({ changes: lastPlanFrom(magnet, surveys[k] ?? null), after }));
  const pending = lastPlanFrom(magnet, surveys[surveys.length - 1] ?? null);
  return pending ? [...rounds, { changes: pending, after: "" }] : rounds;
}

/** What leaves the notebook: a report to sign, evidence to keep, the page itself in print. */
export function PapersSection({ view, surveys, logs }: { view: SurveyView; surveys: string[]; logs: string[] }) {
  const { magnet } = view;
  const [busy, setBusy] = useState("");
  const [done, setDone] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const [chosenSurvey, setSurvey] = useState<string | null>(null);
  const [chosenRounds, setRounds] = useState<Round[] | null>(null);
  const [without, setWithout] = useState<string[]>([]);
  const [stated, setStated] = useState({ site: "", measured_by: "", instrument: "", number: "" });
  const lists = changeLists(magnet);
  const survey = chosenSurvey ?? surveys[0] ?? view.file;
  const rounds = chosenRounds ?? roundsOf(magnet, surveys.slice(Math.max(0, surveys.indexOf(survey))));
  const asked = query({
    survey,
    changes: rounds.map((r) => r.changes),
    after: rounds.map((r) => r.after),
    log: logs.filter((l) => !without.includes(l)),
    ...stated,
    numbers: numbers.value,
  });
  const change = (k: number, part: Partial<Round>) => setRounds(rounds.map((r, i) => (i === k ? { ...r, ...part } : r)));
  const fetchIt = async (what: string, path: string, method: "GET" | "POST") => {
    setBusy(what);
    setDone("");
    setProblem(null);
    try {
      setDone(`${await download(path, method)} is in your downloads.`);
    } catch (e) {
      setProblem(asProblem(e));
    } finally {
      setBusy("");
    }
  };
  const select = (name: string, value: string, set: (v: string) => void, options: string[], none: boolean) => (
    <label>
      {name}
      <select value={value} onChange={(e) => set(e.currentTarget.value)}>
        {none && <option value="">none</option>}
        {options.map((o) => (
          <option key={o}>{o}</option>
        ))}
      </select>
    </label>
  );
  const text = (name: string, key: keyof typeof stated) => (
    <label>
      {name}
      <input value={stated[key]} onInput={(e) => setStated({ ...stated, [key]: e.currentTarget.value })} />
    </label>
  );
  return (
    <Section
      id="papers"
      question="What goes on paper?"
      answer="A report to sign, and a signed bundle of evidence from which anyone can recompute every number."
      next={
        session.value?.team
          ? "Evidence is signed by the key of this server, and kept with the name of whoever made it."
          : "Evidence is signed by the key in your data directory, which is made when first needed. Keep it; give others its public half."
      }
    >
      <div class="panel">
        <div class="ask">{select("As found", survey, setSurvey, surveys, false)}</div>
        {rounds.map((r, k) => (
          <div class="ask" key={k}>
            {select(`Loaded in round ${k + 1}`, r.changes, (changes) => change(k, { changes }), lists, true)}
            {select("Found after it", r.after, (after) => change(k, { after }), surveys, true)}
            <button type="button" onClick={() => setRounds(rounds.filter((_, i) => i !== k))} aria-label={`Leave out round ${k + 1}`}>
              Leave out
            </button>
          </div>
        ))}
        <div class="ask">
          <button type="button" onClick={() => setRounds([...rounds, { changes: "", after: "" }])}>
            Add a round
          </button>
          {logs.map((l) => (
            <label class="inline" key={l}>
              <input
                type="checkbox"
                checked={!without.includes(l)}
                onChange={() => setWithout(without.includes(l) ? without.filter((x) => x !== l) : [...without, l])}
              />
              {l}
            </label>
          ))}
        </div>
        <div class="ask">
          {text("Site", "site")}
          {text("Measured by", "measured_by")}
          {text("Instrument", "instrument")}
          {text("Report number", "number")}
        </div>
        <div class="ask">
          <button
            type="button"
            disabled={busy !== ""}
            onClick={() => fetchIt("Composing the report …", `magnets/${magnet.id}/report${asked}`, "GET")}
          >
            Report (PDF)
          </button>
          <button
            type="button"
            disabled={busy !== "" || !may("sign")}
            aria-describedby={may("sign") ? undefined : "not-signing"}
            onClick={() => fetchIt("Gathering the evidence …", `magnets/${magnet.id}/evidence${asked}`, "POST")}
          >
            Evidence (signed ZIP)
          </button>
          <button type="button" onClick={() => window.print()}>
            Print this page
          </button>
        </div>
        {!may("sign") && (
          <p class="note not-yours" id="not-signing">
            {whyNot("Signing evidence", "sign")}
          </p>
        )}
        {busy && (
          <p class="waiting" role="status">
            {busy}
          </p>
        )}
        {done && <p role="status">{done}</p>}
      </div>
      {problem && <Trouble problem={problem} />}
    </Section>
  );
}
