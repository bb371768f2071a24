import { useEffect, useRef, useState } from "preact/hooks";
import { asProblem, follow, get, goesOn, type Magnet, type OutsideIron, type OutsideLook, Problem, post } from "../api";
import { Outside } from "../charts/Outside";
import { decimalsFor, fixed } from "../format";
import { Needs, Section, Trouble, Warnings } from "../parts";
import { answerOf, grams, lookingOf, nextOf } from "./outsideWords";

/** Searches in a survey; one that was left running is picked up again. */
function useLook(magnet: string, file: string, version: number, onFound: (look: OutsideLook) => void) {
  const [look, setLook] = useState<OutsideLook | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const leave = useRef(() => {});
  const watch = (begun: OutsideLook) => {
    leave.current();
    setLook(begun);
    const hear = (now: OutsideLook) => {
      setLook(now);
      if (now.state === "failed") {
        setProblem(new Problem(422, "Nothing came of it", now.complaint ?? ""));
      }
    };
    const lost = (why: Problem) => {
      setLook(null);
      setProblem(why);
    };
    leave.current = follow(`outside-searches/${begun.id}`, hear, lost);
  };
  useEffect(() => {
    const abort = new AbortController();
    setLook(null);
    setProblem(null);
    get<{ searches: OutsideLook[] }>(`magnets/${magnet}/outside-searches`, abort.signal).then(
      ({ searches }) => {
        const open = searches.find((s) => s.survey === file && goesOn(s));
        if (open && !abort.signal.aborted) {
          onFound(open);
          watch(open);
        }
      },
      () => {},
    );
    return () => {
      abort.abort();
      leave.current();
    };
  }, [magnet, file, version]);
  return {
    look: look?.survey === file ? look : null, // one begun just before another survey was opened is not of this one
    problem,
    start: (since: string | null) => {
      setProblem(null);
      setLook(null);
      post<OutsideLook>(`magnets/${magnet}/outside-searches`, { survey: file, since }).then(watch, (e) => setProblem(asProblem(e)));
    },
    stop: () => {
      if (look) {
        post(`outside-searches/${look.id}/stop`, {}).catch((e) => setProblem(asProblem(e)));
      }
    },
  };
}

/** Whether iron outside the bore disturbs the field, and where it lies. */
export function OutsideSection({ magnet, file, version }: { magnet: Magnet; file: string; version: number }) {
  const others = magnet.visits.flatMap((v) => v.surveys.map((s) => s.file)).filter((s) => s !== file);
  const [since, setSince] = useState<string | null>(null);
  const { look, problem, start, stop } = useLook(magnet.id, file, version, (l) => setSince(l.since));
  const earlier = since !== null && others.includes(since) ? since : null;
  const running = goesOn(look);
  const f = look?.since === earlier ? look.answer : null;
  return (
    <Section
      id="outside"
      question="Does something outside disturb the field?"
      answer={f ? answerOf(f) : look && running ? lookingOf(look) : "Not looked into yet."}
      next={f ? nextOf(f) : running ? undefined : "Choose an earlier survey, from before the trolley came or the wall was built, and look."}
      busy={running}
    >
      <Needs role="measure" to="Looking for iron outside">
        <div class="choices">
          <label>
            Held against{" "}
            <select value={earlier ?? ""} onChange={(e) => setSince(e.currentTarget.value || null)} disabled={running}>
              <option value="">no other survey</option>
              {others.map((s) => (
                <option key={s}>{s}</option>
              ))}
            </select>
          </label>
          {running ? (
            <button type="button" onClick={stop}>
              Stop and keep the best so far
            </button>
          ) : (
            <button type="button" onClick={() => start(earlier)}>
              Look for iron outside
            </button>
          )}
        </div>
      </Needs>
      {running && <progress aria-label="Looking for iron outside" />}
      {problem && <Trouble problem={problem} />}
      {f && <Found found={f} />}
    </Section>
  );
}

function Found({ found }: { found: OutsideIron }) {
  return (
    <>
      {found.sources.length > 0 && (
        <figure>
          <Outside found={found} description="The bore, the sphere that was read and the pieces found outside, in space; drag to turn it." />
          <figcaption class="soft">
            blue: the sphere read{found.bore ? " · grey: the bore at the trays" : ""} · orange: each piece with the ellipsoid that
            holds it with 95 %
          </figcaption>
        </figure>
      )}
      {found.sources.length > 0 && (
        <div class="wide" tabIndex={0}>
          <table class="data">
            <thead>
              <tr>
                <th class="num">piece</th>
                <th class="num">iron</th>
                <th class="num">x, mm</th>
                <th class="num">y, mm</th>
                <th class="num">z, mm</th>
                <th class="num">from the axis, mm</th>
                <th class="num">ellipsoid 95 %, mm</th>
              </tr>
            </thead>
            <tbody>
              {found.sources.map((s, k) => (
                <tr key={s.at_mm.join()}>
                  <td class="num">{k + 1}</td>
                  <td class="num">{grams(s.iron_g, s.iron_uncertainty_g)}</td>
                  {s.at_mm.map((v, i) => (
                    <td key={i} class="num">
                      {fixed(v, Math.min(1, decimalsFor(s.uncertainty_mm[i])))} ± {fixed(s.uncertainty_mm[i], decimalsFor(s.uncertainty_mm[i], 1))}
                    </td>
                  ))}
                  <td class="num">{fixed(s.from_axis_mm, 0)}</td>
                  <td class="num">{s.ellipsoid_95_mm.map((v) => fixed(Math.hypot(...v), 1)).join(" × ")}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      )}
      <p class="note">
        The least iron that would show from every side:{" "}
        {found.least.map((l) => `${grams(l.iron_g)} at ${fixed(l.distance_mm / 1000, 2)} m`).join(", ")}. Masses are of saturated
        iron: in a weaker field it weighs more.
      </p>
      <details>
        <summary>The evidence</summary>
        <table class="data" tabIndex={0}>
          <thead>
            <tr>
              <th class="num">pieces</th>
              <th class="num">evidence against none</th>
              <th class="num">misfit</th>
              <th class="num">unknowns</th>
            </tr>
          </thead>
          <tbody>
            {found.evidence.map((e) => (
              <tr key={e.sources}>
                <td class="num">{e.sources}</td>
                <td class="num">{fixed(e.against_none, 1)}</td>
                <td class="num">{fixed(e.misfit, 0)}</td>
                <td class="num">{e.unknowns}</td>
              </tr>
            ))}
          </tbody>
        </table>
        <p class="note">
          Twice the log odds; more pieces are told only where they are more than 10 better. Harmonics to degree {found.degree} are free
          beside them; {found.readings} readings, {fixed(found.left_ppm, 3)} ppm left of each.
        </p>
      </details>
      <Warnings list={found.warnings} />
    </>
  );
}
