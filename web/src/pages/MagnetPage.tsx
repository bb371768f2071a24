import { useState } from "preact/hooks";
import { asProblem, get, type HistoryEntry, type Magnet, Problem } from "../api";
import { ColumnMapping } from "../ColumnMapping";
import { DropPlace } from "../DropPlace";
import { addFiles } from "../drop";
import { count, day, fixed } from "../format";
import { Section, TakeLink, Trouble, useLoaded, VerdictMark } from "../parts";
import { Recorder } from "../recording/Recorder";
import { visitContents, visitsAnswer } from "../sentences";
import { DifferenceOfTwo, type Pair } from "../sections/DifferenceOfTwo";
import { LifeSection } from "../sections/LifeSection";

/** A magnet with its visits over time. */
export function MagnetPage({ id }: { id: string }) {
  const [again, setAgain] = useState(0);
  const [pair, setPair] = useState<Pair>({ before: null, after: null });
  const [problem, setProblem] = useState<Problem | null>(null);
  const loaded = useLoaded(`${id} ${again}`, (s) => get<Magnet>(`magnets/${id}`, s));
  const history = useLoaded(`history ${id} ${again}`, (s) =>
    get<{ surveys: HistoryEntry[] }>(`magnets/${id}/history`, s),
  );
  const magnet = loaded.value;
  if (!magnet) {
    return (
      <main class="notebook">
        {loaded.problem ? (
          <Trouble problem={loaded.problem} onRetry={() => setAgain(again + 1)} />
        ) : (
          <p class="waiting">Opening the magnet …</p>
        )}
      </main>
    );
  }
  const add = async (files: File[]) => {
    setProblem(null);
    try {
      await addFiles(id, files);
    } catch (e) {
      setProblem(asProblem(e));
    }
    setAgain(again + 1);
  };
  const unknown = magnet.files.filter((f) => f.kind === "unknown_table").map((f) => f.file);
  const surveys = history.value?.surveys ?? [];
  const visits = magnet.visits;
  return (
    <main class="notebook">
      <p class="crumbs">
        <a href="#/">All magnets</a>
      </p>
      <h1>{magnet.name}</h1>
      <p class="soft">
        {[magnet.serial, magnet.field_T ? `${fixed(magnet.field_T, 2)} T nominal` : null].filter(Boolean).join(" · ")}
      </p>
      {magnet.complaint && <Trouble problem={new Problem(422, "The magnet file cannot be used", magnet.complaint)} />}
      {problem && <Trouble problem={problem} />}
      <Section
        id="visits"
        question="When was it visited?"
        answer={visitsAnswer(visits.length)}
      >
        <ul class="visits">
          {visits.map((v) => (
            <li key={v.id}>
              <a href={`#/${id}/${v.id}`}>
                <strong>{v.id === "undated" ? "Undated" : day(v.surveys[0]?.time ?? v.logs[0]?.time ?? null)}</strong>
                <span class="soft">{visitContents(v.surveys.length, v.logs.length)}</span>
              </a>
              <VisitVerdicts surveys={surveys.filter((s) => s.visit === v.id)} />
            </li>
          ))}
        </ul>
        <TakeLink id={id} />
        <Recorder magnet={magnet} onSaved={() => setAgain((n) => n + 1)} />
      </Section>
      {unknown.map((file) => (
        <ColumnMapping key={file} magnet={id} file={file} onDone={() => setAgain(again + 1)} />
      ))}
      <DropPlace
        label="Add files to this magnet"
        hint="Surveys, field logs, lists of changes: each is recognised by its header."
        onFiles={add}
      />
      {surveys.length > 1 && <LifeSection magnet={magnet} version={again} pair={pair} onPair={setPair} />}
      {surveys.length > 1 && (
        <DifferenceOfTwo magnet={magnet} surveys={surveys.map((s) => s.file)} pair={pair} onPair={setPair} />
      )}
      {magnet.rounds.length > 0 && <Rounds magnet={magnet} />}
      <details class="files">
        <summary>All files ({magnet.files.length})</summary>
        <ul>
          {magnet.files.map((f) => (
            <li key={f.file}>
              <a href={`/api/v1/magnets/${id}/files/${f.file}`}>{f.file}</a>{" "}
              <span class="soft">{f.kind.replaceAll("_", " ")}</span>
            </li>
          ))}
        </ul>
      </details>
    </main>
  );
}

function VisitVerdicts({ surveys }: { surveys: HistoryEntry[] }) {
  const last = surveys[surveys.length - 1];
  if (!last?.limits) {
    return last?.complaint ? <span class="complaint">{last.complaint}</span> : null;
  }
  return (
    <span class="visit-verdicts">
      {last.limits
        .filter((l) => l.verdict !== "not_assessed")
        .map((l) => (
          <span key={l.id}>
            {l.id} {fixed(l.value_ppm, 2)} ppm <VerdictMark verdict={l.verdict} />
          </span>
        ))}
    </span>
  );
}

function Rounds({ magnet }: { magnet: Magnet }) {
  return (
    <Section
      id="rounds"
      question="What was loaded into it?"
      answer={magnet.rounds.length === 1 ? "One round is on record." : `${count(magnet.rounds.length)} rounds are on record.`}
    >
      <table class="data" tabIndex={0}>
        <thead>
          <tr>
            <th class="num">round</th>
            <th>date</th>
            <th>by</th>
            <th class="num">changes</th>
            <th>note</th>
          </tr>
        </thead>
        <tbody>
          {magnet.rounds.map((r) => (
            <tr key={r.round}>
              <td class="num">{r.round}</td>
              <td>{day(r.time)}</td>
              <td>{r.by}</td>
              <td class="num">{r.steps.length}</td>
              <td>
                {r.takes_back !== null ? `takes back round ${r.takes_back}. ` : ""}
                {r.note}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Section>
  );
}
