import { useState } from "preact/hooks";
import { asProblem, type Bore, download, get, type KeptPlan, Problem, query, type Surface, type TrayPull } from "../api";
import { BoreMap } from "../charts/BoreMap";
import { ColourBar } from "../charts/ColourBar";
import type { Mark, Place } from "../charts/surface";
import { Unrolled } from "../charts/Unrolled";
import { fixed, shown } from "../format";
import type { SurveyView } from "../pages/VisitPage";
import { Trouble, useLoaded, VerdictMark, Warnings } from "../parts";

const NO_MARKS: Mark[] = [];

/** A plan: what it does to the field, where the pieces go, and the sheet for the bench. */
export function PlanShown({ view, kept }: { view: SurveyView; kept: KeptPlan }) {
  const { magnet, assessment } = view;
  const p = kept.plan;
  const [problem, setProblem] = useState<Problem | null>(null);
  const bore = useLoaded(`bore ${magnet.id} ${kept.id}`, (s) => get<Bore>(`magnets/${magnet.id}/bore`, s));
  if (!p) {
    return null;
  }
  const sheet = (format: string) =>
    download(`magnets/${magnet.id}/sheet${query({ changes: kept.changes, format })}`).catch((e) =>
      setProblem(asProblem(e)),
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
      {p.pulls && <Pulls out={p.pulls.coming_out} home={p.pulls.going_in} />}
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

/** How the field pulls at the trays that are moved. */
function Pulls({ out, home }: { out: TrayPull[]; home: TrayPull[] }) {
  const rows = [...out.map((p) => ({ way: "coming out", p })), ...home.map((p) => ({ way: "going in", p }))];
  const sideways = rows.some((r) => r.p.side_N !== null);
  return (
    <details>
      <summary>How the field pulls at the trays, an estimate that decides nothing</summary>
      <table class="data" tabIndex={0}>
        <thead>
          <tr>
            <th class="num">tray</th>
            <th>way</th>
            <th class="num">iron, g</th>
            <th class="num">at its place, N</th>
            <th class="num">at most, N</th>
            <th class="num">that far from its place, mm</th>
            {sideways && <th class="num">outwards, N</th>}
            {sideways && <th class="num">turning, N m</th>}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ way, p }) => (
            <tr key={`${way} ${p.tray}`}>
              <td class="num">{p.tray}</td>
              <td>{way}</td>
              <td class="num">{fixed(p.iron_g, 0)}</td>
              <td class="num">{fixed(p.home_N, 0)}</td>
              <td class="num">{fixed(p.largest_N, 0)}</td>
              <td class="num">{fixed(p.largest_at_mm, 0)}</td>
              {sideways && <td class="num">{fixed(p.side_N, 0)}</td>}
              {sideways && <td class="num">{fixed(p.turning_Nm, 1)}</td>}
            </tr>
          ))}
        </tbody>
      </table>
      <p>For iron saturated along the field; towards +z is positive. Trays do not pull at each other in it.</p>
    </details>
  );
}

/** The present field and the predicted one, on one scale. */
function BesideEachOther({ view, changes }: { view: SurveyView; changes: string }) {
  const base = `magnets/${view.magnet.id}/surveys/${view.file}`;
  const [own, setOwn] = useState(false);
  const pick = (place: Place) => {
    view.picked.value = place;
  };
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
          <Unrolled surface={now.value} scale={common} marks={NO_MARKS} picked={view.picked.value} onPick={pick} description="The field now." />
        </div>
        <div>
          <h3>After loading, predicted</h3>
          <Unrolled surface={then.value} scale={scale} marks={NO_MARKS} picked={view.picked.value} onPick={pick} description="The field predicted after loading." />
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
