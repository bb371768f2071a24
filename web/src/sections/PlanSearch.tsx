import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { asProblem, follow, get, goesOn, post, Problem, type Search } from "../api";
import { Lines } from "../charts/Lines";
import { fixed, shown } from "../format";
import type { SurveyView } from "../pages/VisitPage";
import { Needs } from "../parts";

const GOALS: Record<string, string> = {
  "peak-to-peak": "as uniform as it gets",
  "least-iron": "as little iron as the target allows",
  "fewest-pockets": "as few pockets as the target allows",
  robust: "safest against piece and place errors",
  rms: "least RMS",
};

/** Not one plan but what uniformity costs: eleven searches. */
const CURVE = "trade-off";

export interface SearchState {
  state: Search | null;
  trail: { seconds: number; best: number | null; bound: number | null }[];
  problem: Problem | null;
  start: (asked: Record<string, unknown>) => void;
  stop: () => void;
}

/** Starts a search and follows its events; one that was left running is picked up again. */
export function useSearch(view: SurveyView, onDone: (plan: string) => void): SearchState {
  const [state, setState] = useState<Search | null>(null);
  const [trail, setTrail] = useState<SearchState["trail"]>([]);
  const [problem, setProblem] = useState<Problem | null>(null);
  const leave = useRef(() => {});
  const finished = useRef(onDone);
  finished.current = onDone;
  const watch = (id: string) => {
    leave.current();
    setTrail([]);
    const hear = (now: Search) => {
      setState(now);
      setTrail((t) => [...t.slice(-600), { seconds: now.seconds, best: now.best_ppm, bound: now.bound_ppm }]);
      if (now.plan) {
        finished.current(now.plan);
      } else if (!goesOn(now)) {
        setProblem(new Problem(422, "No plan came of it", now.complaint ?? ""));
      }
    };
    const lost = (why: Problem) => {
      setState(null);
      setProblem(why);
    };
    leave.current = follow(`searches/${id}`, hear, lost);
  };
  useEffect(() => {
    get<{ searches: Search[] }>(`magnets/${view.magnet.id}/searches`).then(
      ({ searches }) => {
        const open = searches.find((s) => s.survey === view.file && goesOn(s));
        if (open) {
          watch(open.id);
        }
      },
      () => {},
    );
    return () => leave.current();
  }, [view.magnet.id, view.file]);
  return {
    state,
    trail,
    problem,
    start: (asked) => {
      setProblem(null);
      post<Search>(`magnets/${view.magnet.id}/searches`, { survey: view.file, ...asked }).then(
        (s) => {
          setState(s);
          watch(s.id);
        },
        (e) => setProblem(asProblem(e)),
      );
    },
    stop: () => {
      if (state) {
        post(`searches/${state.id}/stop`, {}).catch(() => {});
      }
    },
  };
}

/** What a search is asked for. */
export function AskForm({ view, search }: { view: SurveyView; search: SearchState }) {
  const [goal, setGoal] = useState("peak-to-peak");
  const [seconds, setSeconds] = useState(10);
  const [target, setTarget] = useState("");
  const [most, setMost] = useState("");
  const [keep, setKeep] = useState(false);
  const [symmetric, setSymmetric] = useState(false);
  const limits = (view.magnet.limits ?? []).filter((l) => l.measure === "peak_to_peak");
  const [limit, setLimit] = useState(limits[0]?.id ?? "");
  const running = goesOn(search.state);
  const needsTarget = goal === "least-iron" || goal === "fewest-pockets";
  return (
    <form
      class="ask panel"
      onSubmit={(e) => {
        e.preventDefault();
        search.start({
          ...(goal === CURVE ? { trade_off: true } : { goal }),
          seconds,
          limits: limit ? [limit] : [],
          target_ppm: target === "" ? null : Number(target),
          max_change_pieces: most === "" ? null : Number(most),
          no_removal: keep,
          symmetric,
        });
      }}
    >
      <label>
        What matters
        <select value={goal} onChange={(e) => setGoal(e.currentTarget.value)}>
          {Object.entries(GOALS).map(([id, words]) => (
            <option key={id} value={id}>
              {words}
            </option>
          ))}
          <option value={CURVE}>what uniformity costs</option>
        </select>
      </label>
      <label>
        On
        <select value={limit} onChange={(e) => setLimit(e.currentTarget.value)}>
          {limits.map((l) => (
            <option key={l.id} value={l.id}>
              {l.id}
            </option>
          ))}
        </select>
      </label>
      {needsTarget && (
        <label>
          Target, ppm
          <input type="number" min="0.01" step="any" value={target} placeholder={String(limits.find((l) => l.id === limit)?.limit ?? "")} onInput={(e) => setTarget(e.currentTarget.value)} />
        </label>
      )}
      <label>
        {goal === CURVE ? "Seconds for each of eleven plans" : "Seconds"}
        <input type="number" min="1" max="3600" value={seconds} onInput={(e) => setSeconds(Number(e.currentTarget.value))} />
      </label>
      <label>
        Pieces changed at most
        <input type="number" min="0" value={most} placeholder="any" onInput={(e) => setMost(e.currentTarget.value)} />
      </label>
      <label class="inline">
        <input type="checkbox" checked={keep} onChange={(e) => setKeep(e.currentTarget.checked)} />
        leave what is installed
      </label>
      <label class="inline">
        <input type="checkbox" checked={symmetric} onChange={(e) => setSymmetric(e.currentTarget.checked)} />
        mirror the two ends
      </label>
      <button type="submit" disabled={running}>
        {running ? "Searching …" : "Search for a plan"}
      </button>
    </form>
  );
}

/** A search under way. */
export function Running({ search, view }: { search: SearchState; view: SurveyView }) {
  const s = search.state as Search;
  const x = search.trail.map((t) => t.seconds);
  const curves = useMemo(
    () => [
      { label: "best so far", values: search.trail.map((t) => t.best), width: 2 },
      { label: "no plan can beat", values: search.trail.map((t) => t.bound), width: 1.4, dash: [6, 4] },
    ],
    [search.trail],
  );
  if (s.state === "failed") {
    return null;
  }
  return (
    <div class="panel" aria-live="polite">
      <p>
        {s.state === "waiting" ? "Waiting for its turn." : `${s.stage || "beginning"}, ${fixed(s.seconds, 0)} of ${fixed(s.seconds_asked, 0)} s`}
        {s.best_ppm !== null && <> · best so far <strong>{shown(s.best_ppm, view.assessment.centre)}</strong></>}
        {s.bound_ppm !== null && <> · no plan can beat {shown(s.bound_ppm, view.assessment.centre)}</>}
      </p>
      <progress max={s.seconds_asked} value={Math.min(s.seconds, s.seconds_asked)} aria-label="Search" />
      {search.trail.some((t) => t.best !== null) && (
        <Lines x={x} xLabel="seconds" yLabel="ppm" curves={curves} height={160} description="The best plan so far, and the bound, against time" />
      )}
      <Needs role="measure" to="Stopping it">
        <button type="button" onClick={search.stop}>
          Stop and keep the best so far
        </button>
      </Needs>
    </div>
  );
}
