import { useState } from "preact/hooks";
import { get, type Magnet, type OutsideIron, query } from "../api";
import { Outside } from "../charts/Outside";
import { decimalsFor, fixed } from "../format";
import { Section, Trouble, useLoaded, Warnings } from "../parts";
import { answerOf, grams, nextOf } from "./outsideWords";

/** Whether iron outside the bore disturbs the field, and where it lies. */
export function OutsideSection({ magnet, file, version }: { magnet: Magnet; file: string; version: number }) {
  const others = magnet.visits.flatMap((v) => v.surveys.map((s) => s.file)).filter((s) => s !== file);
  const [since, setSince] = useState<string | null>(null);
  const [asked, setAsked] = useState<string | null>(null);
  const earlier = since !== null && others.includes(since) ? since : null;
  const key = `${magnet.id} ${file} ${earlier} ${version}`;
  const found = useLoaded(asked === key ? key : null, (s) =>
    get<OutsideIron>(`magnets/${magnet.id}/surveys/${file}/outside-iron${query({ since: earlier })}`, s),
  );
  const f = asked === key ? found.value : null;
  return (
    <Section
      id="outside"
      question="Does something outside disturb the field?"
      answer={f ? answerOf(f) : found.busy ? "Looking …" : "Not looked into yet."}
      next={f ? nextOf(f) : "Choose an earlier survey, from before the trolley came or the wall was built, and look."}
      busy={found.busy}
    >
      <div class="choices">
        <label>
          Held against{" "}
          <select value={earlier ?? ""} onChange={(e) => setSince(e.currentTarget.value || null)}>
            <option value="">no other survey</option>
            {others.map((s) => (
              <option key={s}>{s}</option>
            ))}
          </select>
        </label>
        <button type="button" onClick={() => setAsked(key)} disabled={found.busy}>
          Look for iron outside
        </button>
      </div>
      {found.problem && <Trouble problem={found.problem} />}
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
