import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { type Bore, download, get, type KeptPlan, Problem, post, query, type Search, type Surface } from "../api";
import { BoreMap } from "../charts/BoreMap";
import { ColourBar } from "../charts/ColourBar";
import { Lines } from "../charts/Lines";
import { Unrolled } from "../charts/Unrolled";
import { fixed, shown } from "../format";
import type { SurveyView } from "../pages/VisitPage";
import { Section, Trouble, useLoaded, VerdictMark, Warnings } from "../parts";

const GOALS: Record<string, string> = {
  "peak-to-peak": "as uniform as it gets",
  "least-iron": "as little iron as the target allows",
  "fewest-pockets": "as few pockets as the target allows",
  robust: "safest against piece and place errors",
  rms: "least RMS",
};

/** What to load: a search that can be watched and stopped, and the plans found so far. */
export function PlanSection({ view, onPlans }: { view: SurveyView; onPlans: () => void }) {
  const { magnet, assessment } = view;
  const plans = magnet.plans.filter((p) => p.plan?.survey === view.file);
  const [chosen, setChosen] = useState<string | null>(null);
  const plan = plans.find((p) => p.id === chosen) ?? plans[plans.length - 1] ?? null;
  const search = useSearch(view, (done) => {
    setChosen(done);
    onPlans();
  });
  const p = plan?.plan;
  return (
    <Section
      id="plan"
      question="What should be loaded?"
      answer={
        p
          ? `${plan?.id}: ${p.pieces_added} pieces in, ${p.pieces_removed} out, ${fixed(p.mass_added_g / 1000, 2)} kg in ${p.pockets_touched} pockets, take ${p.limit} from ${shown(p.before_ppm, assessment.centre, 1)} to ${shown(p.planned_ppm, assessment.centre)}.`
          : "No plan has been made from this survey."
      }
      next={
        p
          ? "Take the loading sheet to the bench. Load, let the iron come to temperature, survey again, and compare below."
          : "Say what matters, and search. It can be stopped at any time; the best so far is kept."
      }
    >
      <AskForm view={view} search={search} />
      {search.problem && <Trouble problem={search.problem} />}
      {search.state && search.state.state !== "done" && <Running search={search} view={view} />}
      {plans.length > 1 && (
        <fieldset class="surveys">
          <legend>Plan looked at</legend>
          {plans.map((x) => (
            <label key={x.id} class={x.id === plan?.id ? "chip chip-on" : "chip"}>
              <input type="radio" name="plan" checked={x.id === plan?.id} onChange={() => setChosen(x.id)} />
              {x.id}: {fixed(x.plan?.planned_ppm, 2)} ppm, {fixed((x.plan?.mass_added_g ?? 0) / 1000, 2)} kg
            </label>
          ))}
        </fieldset>
      )}
      {plan && p && <PlanShown view={view} kept={plan} />}
      {plans.length > 1 && <Choice view={view} plans={plans} />}
    </Section>
  );
}

interface SearchState {
  state: Search | null;
  trail: { seconds: number; best: number | null; bound: number | null }[];
  problem: Problem | null;
  start: (asked: Record<string, unknown>) => void;
  stop: () => void;
}

/** Starts a search and follows its events; one that was left running is picked up again. */
function useSearch(view: SurveyView, onDone: (plan: string) => void): SearchState {
  const [state, setState] = useState<Search | null>(null);
  const [trail, setTrail] = useState<SearchState["trail"]>([]);
  const [problem, setProblem] = useState<Problem | null>(null);
  const source = useRef<EventSource | null>(null);
  const finished = useRef(onDone);
  finished.current = onDone;
  const follow = (id: string) => {
    source.current?.close();
    setTrail([]);
    const events = new EventSource(`/api/v1/searches/${id}/events`);
    source.current = events;
    events.onmessage = (event) => {
      const now = JSON.parse(event.data) as Search;
      setState(now);
      setTrail((t) => [...t.slice(-600), { seconds: now.seconds, best: now.best_ppm, bound: now.bound_ppm }]);
      if (now.state === "done" || now.state === "failed") {
        events.close();
        if (now.plan) {
          finished.current(now.plan);
        } else {
          setProblem(new Problem(422, "No plan came of it", now.complaint ?? ""));
        }
      }
    };
  };
  useEffect(() => {
    get<{ searches: Search[] }>(`magnets/${view.magnet.id}/searches`).then(
      ({ searches }) => {
        const open = searches.find((s) => s.survey === view.file && (s.state === "searching" || s.state === "waiting"));
        if (open) {
          follow(open.id);
        }
      },
      () => {},
    );
    return () => source.current?.close();
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
          follow(s.id);
        },
        (e) => setProblem(e instanceof Problem ? e : new Problem(0, "A fault of the page", String(e))),
      );
    },
    stop: () => {
      if (state) {
        post(`searches/${state.id}/stop`, {}).catch(() => {});
      }
    },
  };
}

function AskForm({ view, search }: { view: SurveyView; search: SearchState }) {
  const [goal, setGoal] = useState("peak-to-peak");
  const [seconds, setSeconds] = useState(10);
  const [target, setTarget] = useState("");
  const [most, setMost] = useState("");
  const [keep, setKeep] = useState(false);
  const [symmetric, setSymmetric] = useState(false);
  const limits = (view.magnet.limits ?? []).filter((l) => l.measure === "peak_to_peak");
  const [limit, setLimit] = useState(limits[0]?.id ?? "");
  const running = search.state?.state === "searching" || search.state?.state === "waiting";
  const needsTarget = goal === "least-iron" || goal === "fewest-pockets";
  return (
    <form
      class="ask panel"
      onSubmit={(e) => {
        e.preventDefault();
        search.start({
          goal,
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
        Seconds
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

function Running({ search, view }: { search: SearchState; view: SurveyView }) {
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
      <button type="button" onClick={search.stop}>
        Stop and keep the best so far
      </button>
    </div>
  );
}

function PlanShown({ view, kept }: { view: SurveyView; kept: KeptPlan }) {
  const { magnet, assessment } = view;
  const p = kept.plan;
  const [problem, setProblem] = useState<Problem | null>(null);
  const bore = useLoaded(`bore ${magnet.id} ${kept.id}`, (s) => get<Bore>(`magnets/${magnet.id}/bore`, s));
  if (!p) {
    return null;
  }
  const sheet = (format: string) =>
    download(`magnets/${magnet.id}/sheet${query({ changes: kept.changes, format })}`).catch((e) =>
      setProblem(e instanceof Problem ? e : new Problem(0, "A fault of the page", String(e))),
    );
  return (
    <>
      {problem && <Trouble problem={problem} />}
      <dl class="figures">
        <div>
          <dt>planned</dt>
          <dd>{shown(p.planned_ppm, assessment.centre)}</dd>
        </div>
        <div>
          <dt>promised in 95 of 100</dt>
          <dd>{p.promised_ppm_95 === null ? "–" : shown(p.promised_ppm_95, assessment.centre)}</dd>
        </div>
        <div>
          <dt>no plan can beat</dt>
          <dd>{p.relaxed_bound_ppm === null ? "–" : shown(p.relaxed_bound_ppm, assessment.centre)}</dd>
        </div>
        <div>
          <dt>centre field moves by</dt>
          <dd>{shown(p.centre_shift_ppm, assessment.centre, 1)}</dd>
        </div>
      </dl>
      <Warnings list={p.warnings} />
      {bore.problem && <Trouble problem={bore.problem} />}
      {bore.value && bore.value.pockets.length > 0 && (
        <figure>
          <div class="wide" tabIndex={0}>
            <BoreMap bore={bore.value} loading={p.loading} />
          </div>
          <figcaption>Pieces going in (filled) and coming out (outlined); the area of a square is their number.</figcaption>
        </figure>
      )}
      <BesideEachOther view={view} changes={kept.changes} />
      <table class="data" tabIndex={0}>
        <thead>
          <tr>
            <th>limit</th>
            <th class="num">now</th>
            <th class="num">predicted</th>
            <th>verdict then</th>
          </tr>
        </thead>
        <tbody>
          {p.predicted_limits
            .filter((l) => l.verdict !== "not_assessed")
            .map((l) => (
              <tr key={l.id}>
                <td>{l.id}</td>
                <td class="num">{shown(assessment.limits.find((x) => x.id === l.id)?.value_ppm, assessment.centre)}</td>
                <td class="num">{shown(l.value_ppm, assessment.centre)}</td>
                <td>
                  <VerdictMark verdict={l.verdict} />
                </td>
              </tr>
            ))}
        </tbody>
      </table>
      <p class="caution">
        Shim iron is pulled and turned hard by the field: trays are loaded at low or zero field unless the maker's written
        procedure says otherwise. Mind pinch points, projectiles, implants and quench. Local rules and licensed practice
        come first; a qualified person decides.
      </p>
      <div class="choices">
        <button type="button" onClick={() => sheet("xlsx")}>
          Loading sheet (XLSX)
        </button>
        <button type="button" onClick={() => sheet("csv")}>
          Loading sheet (CSV)
        </button>
      </div>
      <details>
        <summary>Every change ({p.loading.length})</summary>
        <table class="data" tabIndex={0}>
          <thead>
            <tr>
              <th class="num">tray</th>
              <th class="num">pocket</th>
              <th>piece</th>
              <th class="num">from</th>
              <th class="num">to</th>
            </tr>
          </thead>
          <tbody>
            {p.loading.map((l) => (
              <tr key={`${l.tray}/${l.pocket}/${l.piece}`}>
                <td class="num">{l.tray}</td>
                <td class="num">{l.pocket}</td>
                <td>{l.piece}</td>
                <td class="num">{l.from}</td>
                <td class="num">{l.to}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </details>
    </>
  );
}

/** The present field and the predicted one, on one scale. */
function BesideEachOther({ view, changes }: { view: SurveyView; changes: string }) {
  const base = `magnets/${view.magnet.id}/surveys/${view.file}`;
  const [own, setOwn] = useState(false);
  const now = useLoaded(`now ${base} ${view.version}`, (s) => get<Surface>(`${base}/surface`, s));
  const then = useLoaded(`then ${base} ${changes} ${view.version}`, (s) =>
    get<Surface>(`${base}/surface${query({ changes })}`, s),
  );
  if (!now.value || !then.value) {
    return then.problem ? <Trouble problem={then.problem} /> : <p class="waiting">Computing the field after loading …</p>;
  }
  const size = (s: Surface) => s.ppm.reduce((a, v) => Math.max(a, Math.abs(v)), 0) || 1;
  const common = size(now.value);
  const scale = own ? size(then.value) : common;
  return (
    <figure>
      <div class="two">
        <div>
          <h3>Now</h3>
          <Unrolled surface={now.value} scale={common} marks={[]} picked={view.picked} onPick={view.pick} description="The field now." />
        </div>
        <div>
          <h3>After loading, predicted</h3>
          <Unrolled surface={then.value} scale={scale} marks={[]} picked={view.picked} onPick={view.pick} description="The field predicted after loading." />
        </div>
      </div>
      <figcaption>
        <ColourBar scale={scale} reference={view.assessment.centre} />
        <label class="inline">
          <input type="checkbox" checked={own} onChange={(e) => setOwn(e.currentTarget.checked)} />
          stretch the colours of the prediction
        </label>
      </figcaption>
    </figure>
  );
}

/** The plans made so far as points of what uniformity costs. */
function Choice({ view, plans }: { view: SurveyView; plans: KeptPlan[] }) {
  const sorted = [...plans].sort((a, b) => (a.plan?.mass_added_g ?? 0) - (b.plan?.mass_added_g ?? 0));
  const x = sorted.map((p) => (p.plan?.mass_added_g ?? 0) / 1000);
  const curves = useMemo(
    () => [
      { label: "planned", values: sorted.map((p) => p.plan?.planned_ppm ?? null), dots: 8 },
      { label: "promised", values: sorted.map((p) => p.plan?.promised_ppm_95 ?? null), dots: 5, colour: "#888" },
    ],
    [plans],
  );
  return (
    <figure>
      <Lines x={x} xLabel="iron going in, kg" yLabel="ppm" curves={curves} height={200} description="Plans made so far, ppm against iron" />
      <figcaption>The plans made from {view.file}: uniformity against iron (large dots planned, small grey ones promised in 95 of 100).</figcaption>
    </figure>
  );
}
