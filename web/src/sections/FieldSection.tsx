import { useMemo, useState } from "preact/hooks";
import { get, type Profile, query, type Surface } from "../api";
import { Ball } from "../charts/Ball";
import { ColourBar } from "../charts/ColourBar";
import { Lines } from "../charts/Lines";
import { type Mark, type Place, valueAt } from "../charts/surface";
import { Unrolled } from "../charts/Unrolled";
import { deviation, fixed, shown } from "../format";
import type { SurveyView } from "../pages/VisitPage";
import { Section, Trouble, useLoaded } from "../parts";

const LINES = {
  x: { polar: 90, azimuth: 0, words: "x" },
  y: { polar: 90, azimuth: 90, words: "y" },
  z: { polar: 0, azimuth: 0, words: "z" },
} as const;

/** What the field is: over a surface in two pictures that share a point, and along a line. */
export function FieldSection({ view }: { view: SurveyView }) {
  const { assessment, readings } = view;
  const picked = view.picked.value;
  const pick = (place: Place) => {
    view.picked.value = place;
  };
  const [surfaceId, setSurfaceId] = useState("read");
  const [open, setOpen] = useState(false);
  const [line, setLine] = useState<keyof typeof LINES | "picked">("z");
  const base = `magnets/${view.magnet.id}/surveys/${view.file}`;
  const volumes = (view.magnet.limits ?? []).filter((l) => l.shape);
  const surface = useLoaded(`${base} ${surfaceId} ${view.version}`, (s) =>
    get<Surface>(`${base}/surface${query({ limit: surfaceId === "read" ? null : surfaceId })}`, s),
  );
  const direction =
    line === "picked" ? { polar: picked?.polarDeg ?? 0, azimuth: picked?.azimuthDeg ?? 0, words: "the point picked" } : LINES[line];
  const profile = useLoaded(`${base} ${direction.polar} ${direction.azimuth} ${view.version}`, (s) =>
    get<Profile>(`${base}/profile${query({ polar_deg: direction.polar, azimuth_deg: direction.azimuth })}`, s),
  );
  const marks = useMemo(() => marksOf(view), [readings, assessment]);
  const extremes = useMemo(() => marks.filter((m) => m.kind === "extreme"), [marks]);
  const shownSurface = surface.value;
  const scale = useMemo(() => (shownSurface ? largest(shownSurface) : 1), [shownSurface]);
  const at = picked && shownSurface ? valueAt(shownSurface, picked) : null;
  const [lowest, highest] = useMemo(() => rangeOf(view), [readings]);
  const unit = deviation(assessment.centre);
  const curves = useMemo(() => {
    const p = profile.value;
    return p
      ? [
          { label: "field", values: p.ppm.map((v) => v * unit.factor), width: 2 },
          { label: "+2u", values: p.ppm.map((v, i) => (v + 2 * (p.uncertainty_ppm[i] ?? 0)) * unit.factor), width: 0 },
          { label: "−2u", values: p.ppm.map((v, i) => (v - 2 * (p.uncertainty_ppm[i] ?? 0)) * unit.factor), width: 0 },
        ]
      : [];
  }, [profile.value, unit.factor]);
  return (
    <Section
      id="field"
      question="What does the field look like?"
      answer={`Over the points read it runs from ${shown(lowest, assessment.centre, 1)} to ${shown(highest, assessment.centre, 1)} about the centre: ${shown(assessment.readings_peak_to_peak_ppm, assessment.centre, 1)} peak-to-peak of the readings themselves.`}
      busy={surface.busy}
      next="Click the picture, or move with the arrow keys, to look at a point; both pictures and the profile follow."
    >
      {surface.problem && <Trouble problem={surface.problem} />}
      <div class="choices">
        <label>
          Surface{" "}
          <select value={surfaceId} onChange={(e) => setSurfaceId(e.currentTarget.value)}>
            <option value="read">sphere of the readings</option>
            {volumes.map((l) => (
              <option key={l.id} value={l.id}>
                {l.id}: {l.shape}
              </option>
            ))}
          </select>
        </label>
        <button type="button" onClick={() => setOpen(!open)} aria-expanded={open}>
          {open ? "Close the view in space" : "Open the view in space"}
        </button>
      </div>
      {shownSurface && (
        <figure class={open ? "pictures pictures-two" : "pictures"}>
          <Unrolled
            surface={shownSurface}
            scale={scale}
            marks={surfaceId === "read" ? marks : extremes}
            picked={picked}
            onPick={pick}
            description="The field over the surface unrolled, azimuth to the right, +z at the top."
          />
          {open && (
            <Ball
              surface={shownSurface}
              scale={scale}
              marks={surfaceId === "read" ? marks : extremes}
              picked={picked}
              onPick={pick}
              description="The field over the surface in space; drag to turn it."
            />
          )}
          <figcaption>
            <ColourBar scale={scale} reference={assessment.centre} />
            <span role="status">
              {picked
                ? `polar ${fixed(picked.polarDeg, 1)}°, azimuth ${fixed(picked.azimuthDeg, 1)}°: ${shown(at, assessment.centre)}`
                : "no point picked"}
            </span>
            <span class="soft">dots: readings · crosses: set aside · rings: extremes</span>
          </figcaption>
        </figure>
      )}
      <figure>
        <div class="choices">
          <label>
            Profile along{" "}
            <select value={line} onChange={(e) => setLine(e.currentTarget.value as typeof line)}>
              <option value="x">x</option>
              <option value="y">y</option>
              <option value="z">z</option>
              <option value="picked" disabled={!picked}>
                the line to the point picked
              </option>
            </select>
          </label>
        </div>
        {profile.problem && <Trouble problem={profile.problem} />}
        {profile.value && (
          <Lines
            x={profile.value.s_mm}
            xLabel={`along ${direction.words} through the centre, mm`}
            yLabel={`deviation, ${unit.unit}`}
            curves={curves}
            bands={[{ upper: 1, lower: 2 }]}
            description={`The field along ${direction.words}, with the band of two standard uncertainties`}
          />
        )}
      </figure>
    </Section>
  );
}

/** The colours end at a round value at or above the largest deviation. */
function largest(surface: Surface): number {
  let most = 0;
  for (const v of surface.ppm) {
    most = Math.max(most, Math.abs(v));
  }
  return most || 1;
}

/** The least and the largest of the readings that are used, ppm. */
function rangeOf({ readings }: SurveyView): [number, number] {
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  readings.ppm.forEach((v, i) => {
    if (v !== null && readings.state[i] === "used") {
      low = Math.min(low, v);
      high = Math.max(high, v);
    }
  });
  return [low, high];
}

function placeOf(x: number, y: number, z: number): Place {
  const r = Math.hypot(x, y, z) || 1;
  return {
    polarDeg: (180 * Math.acos(z / r)) / Math.PI,
    azimuthDeg: ((180 * Math.atan2(y, x)) / Math.PI + 360) % 360,
  };
}

function marksOf(view: SurveyView): Mark[] {
  const { readings, assessment } = view;
  const marks: Mark[] = [];
  readings.row.forEach((_, i) => {
    const state = readings.state[i];
    if (state !== "revisit") {
      marks.push({
        ...placeOf(readings.x_mm[i] ?? 0, readings.y_mm[i] ?? 0, readings.z_mm[i] ?? 0),
        kind: state === "used" ? "used" : "aside",
      });
    }
  });
  for (const e of assessment.limits.find((l) => l.extremes)?.extremes ?? []) {
    marks.push({ ...placeOf(...e.at_mm), kind: "extreme" });
  }
  return marks;
}
