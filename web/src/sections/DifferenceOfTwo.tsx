import { type Comparison, get, type Magnet, query } from "../api";
import { decimalsFor, fixed } from "../format";
import { Section, Trouble, useLoaded, Warnings } from "../parts";

/** Two surveys that were chosen; null where the first or the last one stands for it. */
export interface Pair {
  before: string | null;
  after: string | null;
}

interface Props {
  magnet: Magnet;
  surveys: string[];
  pair: Pair;
  onPair: (pair: Pair) => void;
}

/** Any two surveys of a magnet against each other. */
export function DifferenceOfTwo({ magnet, surveys, pair, onPair }: Props) {
  const before = pair.before ?? surveys[0] ?? "";
  const after = pair.after ?? surveys[surveys.length - 1] ?? "";
  const setBefore = (file: string) => onPair({ before: file, after });
  const setAfter = (file: string) => onPair({ before, after: file });
  const compared = useLoaded(before !== after ? `${magnet.id} ${before} ${after}` : null, (s) =>
    get<Comparison>(`magnets/${magnet.id}/comparison${query({ before, after })}`, s),
  );
  const c = compared.value;
  const strongest = [...(c?.harmonics.terms ?? [])]
    .filter((t) => t.change !== null)
    .sort((a, b) => Math.abs(b.change ?? 0) - Math.abs(a.change ?? 0))
    .slice(0, 6);
  return (
    <Section
      id="difference"
      question="What changed between two surveys?"
      answer={
        before === after
          ? "Choose two different surveys."
          : c
            ? `The centre field moved by ${fixed(c.centre_shift_ppm, 2)} ppm; the largest change of shape is ${strongest[0]?.name ?? "none"}, ${fixed(strongest[0]?.change, 2)} ppm.`
            : "Comparing …"
      }
      busy={compared.busy}
    >
      <div class="choices">
        {[
          ["From", before, setBefore] as const,
          ["to", after, setAfter] as const,
        ].map(([name, value, set]) => (
          <label key={name}>
            {name}{" "}
            <select value={value} onChange={(e) => set(e.currentTarget.value)}>
              {surveys.map((s) => (
                <option key={s}>{s}</option>
              ))}
            </select>
          </label>
        ))}
      </div>
      {compared.problem && <Trouble problem={compared.problem} />}
      {c && (
        <>
          <table class="data" tabIndex={0}>
            <thead>
              <tr>
                <th>term</th>
                <th class="num">before, ppm</th>
                <th class="num">after, ppm</th>
                <th class="num">change, ppm</th>
                <th class="num">u</th>
              </tr>
            </thead>
            <tbody>
              {strongest.map((t) => (
                <tr key={t.name}>
                  <td>{t.name}</td>
                  <td class="num">{fixed(t.before, decimalsFor(t.uncertainty))}</td>
                  <td class="num">{fixed(t.after, decimalsFor(t.uncertainty))}</td>
                  <td class="num">{fixed(t.change, decimalsFor(t.uncertainty))}</td>
                  <td class="num">{fixed(t.uncertainty, decimalsFor(t.uncertainty))}</td>
                </tr>
              ))}
            </tbody>
          </table>
          <Warnings list={c.warnings} />
        </>
      )}
    </Section>
  );
}
