import { useState } from "preact/hooks";
import { asProblem, changeLists, download, lastPlanFrom, type Problem, query } from "../api";
import type { SurveyView } from "../pages/VisitPage";
import { Section, Trouble } from "../parts";

/** What leaves the notebook: a report to sign, evidence to keep, the page itself in print. */
export function PapersSection({ view, surveys, logs }: { view: SurveyView; surveys: string[]; logs: string[] }) {
  const { magnet } = view;
  const [busy, setBusy] = useState("");
  const [done, setDone] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const later = surveys.length > 1 ? (surveys[surveys.length - 1] ?? null) : null;
  const first = surveys[0] ?? view.file;
  const [survey, setSurvey] = useState<string | null>(null);
  const [after, setAfter] = useState<string | null>(null);
  const [changes, setChanges] = useState<string | null>(null);
  const [log, setLog] = useState<string | null>(null);
  const lists = changeLists(magnet);
  const chosen = {
    survey: survey ?? first,
    after: after ?? later ?? "",
    changes: changes ?? lastPlanFrom(magnet, survey ?? first),
    log: log ?? logs[0] ?? "",
  };
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
  return (
    <Section
      id="papers"
      question="What goes on paper?"
      answer="A report to sign, and a signed bundle of evidence from which anyone can recompute every number."
      next="Evidence is signed by the key in your data directory, which is made when first needed. Keep it; give others its public half."
    >
      <div class="ask panel">
        {select("As found", chosen.survey, setSurvey, surveys, false)}
        {select("What was loaded", chosen.changes, setChanges, lists, true)}
        {select("After loading", chosen.after, setAfter, surveys.filter((s) => s !== chosen.survey), true)}
        {select("Field log", chosen.log, setLog, logs, true)}
        <button
          type="button"
          disabled={busy !== ""}
          onClick={() =>
            fetchIt(
              "Composing the report …",
              `magnets/${magnet.id}/report${query({ survey: chosen.survey, changes: chosen.changes, after: chosen.after })}`,
              "GET",
            )
          }
        >
          Report (PDF)
        </button>
        <button
          type="button"
          disabled={busy !== ""}
          onClick={() => fetchIt("Gathering the evidence …", `magnets/${magnet.id}/evidence${query(chosen)}`, "POST")}
        >
          Evidence (signed ZIP)
        </button>
        <button type="button" onClick={() => window.print()}>
          Print this page
        </button>
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
