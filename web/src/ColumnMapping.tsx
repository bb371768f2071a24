import { useState } from "preact/hooks";
import { asProblem, get, post, type Problem } from "./api";
import { Needs, Section, Trouble, useLoaded } from "./parts";

interface Preview {
  columns: { header: string; guess: string | null; samples: string[] }[];
  meanings: string[];
  remembered: boolean;
}

/** A table whose header is unknown: what each column is, guessed, for a person to confirm. */
export function ColumnMapping({ magnet, file, onDone }: { magnet: string; file: string; onDone: () => void }) {
  const preview = useLoaded(`${magnet} ${file}`, (s) => get<Preview>(`magnets/${magnet}/tables/${file}/columns`, s));
  const [own, setOwn] = useState<Record<number, string>>({});
  const [problem, setProblem] = useState<Problem | null>(null);
  const p = preview.value;
  if (!p) {
    return preview.problem ? <Trouble problem={preview.problem} /> : null;
  }
  const meaning = (k: number) => own[k] ?? p.columns[k]?.guess ?? "";
  const confirm = async () => {
    setProblem(null);
    try {
      await post(`magnets/${magnet}/tables/${file}/columns`, { columns: p.columns.map((_, k) => meaning(k) || null) });
      onDone();
    } catch (e) {
      setProblem(asProblem(e));
    }
  };
  return (
    <Section
      id={`columns-${file}`}
      question={`What are the columns of ${file}?`}
      answer={
        p.remembered
          ? "This header was confirmed for this magnet before; the same meanings are filled in."
          : "Its header is not one that is known. Here is a guess at what each column is; correct it and confirm."
      }
      next="The file stays as it is; a copy with the confirmed header is added, and the meanings are remembered for this magnet."
    >
      {problem && <Trouble problem={problem} />}
      <div class="wide" tabIndex={0}>
        <table class="data" tabIndex={0}>
          <thead>
            <tr>
              {p.columns.map((c, k) => (
                <th key={k}>
                  {c.header}
                  <br />
                  <select aria-label={`meaning of ${c.header}`} value={meaning(k)} onChange={(e) => setOwn({ ...own, [k]: e.currentTarget.value })}>
                    <option value="">ignore</option>
                    {p.meanings.map((m) => (
                      <option key={m}>{m}</option>
                    ))}
                  </select>
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {(p.columns[0]?.samples ?? []).map((_, r) => (
              <tr key={r}>
                {p.columns.map((c, k) => (
                  <td key={k}>{c.samples[r] ?? ""}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <Needs role="measure" to="Confirming the columns">
        <button type="button" onClick={confirm}>
          Confirm the columns
        </button>
      </Needs>
    </Section>
  );
}
