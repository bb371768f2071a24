import { type Signal, useSignal } from "@preact/signals";
import { useState } from "preact/hooks";
import { asProblem, type Assessment, get, type HistoryEntry, type Magnet, type Problem, type Readings } from "../api";
import { Spark } from "../charts/Spark";
import type { Place } from "../charts/surface";
import { ColumnMapping } from "../ColumnMapping";
import { DropPlace } from "../DropPlace";
import { addFiles } from "../drop";
import { centre, day, fixed } from "../format";
import { TakeLink, Trouble, useLoaded } from "../parts";
import { FieldSection } from "../sections/FieldSection";
import { HarmonicsSection } from "../sections/HarmonicsSection";
import { LimitsSection } from "../sections/LimitsSection";
import { OutsideSection } from "../sections/OutsideSection";
import { PapersSection } from "../sections/PapersSection";
import { PlanSection } from "../sections/PlanSection";
import { RoundSection } from "../sections/RoundSection";
import { StabilitySection } from "../sections/StabilitySection";
import { TrustSection } from "../sections/TrustSection";

/** What every section about one survey needs. */
export interface SurveyView {
  magnet: Magnet;
  file: string;
  assessment: Assessment;
  readings: Readings;
  /** Changes with every choice, so that what is loaded is loaded again. */
  version: number;
  /** The point looked at; only what draws it is drawn anew when it moves. */
  picked: Signal<Place | null>;
}

/** One visit, from top to bottom in the order of the job. */
export function VisitPage({ id, visitId }: { id: string; visitId: string }) {
  const [again, setAgain] = useState(0);
  const [version, setVersion] = useState(0);
  const [chosen, setChosen] = useState<string | null>(null);
  const picked = useSignal<Place | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const loaded = useLoaded(`${id} ${again}`, (s) => get<Magnet>(`magnets/${id}`, s));
  const history = useLoaded(`history ${id} ${again} ${version}`, (s) =>
    get<{ surveys: HistoryEntry[] }>(`magnets/${id}/history`, s),
  );
  const magnet = loaded.value;
  const visit = magnet?.visits.find((v) => v.id === visitId) ?? null;
  const surveys = visit?.surveys ?? [];
  const file = surveys.some((s) => s.file === chosen) ? chosen : (surveys[0]?.file ?? null);
  const base = `magnets/${id}/surveys/${file}`;
  const assessment = useLoaded(file ? `a ${base} ${version}` : null, (s) => get<Assessment>(`${base}/assessment`, s));
  const readings = useLoaded(file ? `r ${base} ${version}` : null, (s) => get<Readings>(`${base}/readings`, s));

  if (!magnet || !visit) {
    const gone = magnet && !visit;
    return (
      <main class="notebook">
        {loaded.problem && <Trouble problem={loaded.problem} onRetry={() => setAgain(again + 1)} />}
        {gone ? (
          <p class="answer">
            There is no such visit any more. <a href={`#/${id}`}>Back to the magnet.</a>
          </p>
        ) : (
          !loaded.problem && <p class="waiting">Opening the visit …</p>
        )}
      </main>
    );
  }
  const add = async (files: File[]) => {
    setProblem(null);
    try {
      const names = await addFiles(id, files);
      setAgain(again + 1);
      setChosen(names[names.length - 1] ?? null);
    } catch (e) {
      setProblem(asProblem(e));
    }
  };
  const view: SurveyView | null =
    file && assessment.value && readings.value && assessment.value.survey.file === file
      ? {
          magnet,
          file,
          assessment: assessment.value,
          readings: readings.value,
          version,
          picked,
        }
      : null;
  const trouble = assessment.problem ?? readings.problem;
  return (
    <div class="with-rail">
      <Rail magnet={magnet} history={history.value?.surveys ?? []} visitId={visitId} />
      <main class="notebook">
        <h1>
          {magnet.name}
          <span class="soft">
            {" "}
            visit of {visit.id === "undated" ? "unknown date" : day(surveys[0]?.time ?? visit.logs[0]?.time ?? null)}
          </span>
        </h1>
        {surveys.length > 0 && (
          <fieldset class="surveys">
            <legend>Survey looked at</legend>
            {surveys.map((s) => (
              <label key={s.file} class={s.file === file ? "chip chip-on" : "chip"}>
                <input
                  type="radio"
                  name="survey"
                  checked={s.file === file}
                  onChange={() => {
                    setChosen(s.file);
                    picked.value = null;
                  }}
                />
                {s.file}
              </label>
            ))}
          </fieldset>
        )}
        {problem && <Trouble problem={problem} />}
        {trouble && <Trouble problem={trouble} onRetry={() => setVersion(version + 1)} />}
        {!file && <p class="answer">No survey was taken at this visit. Drop one below.</p>}
        {file && !view && !trouble && <p class="waiting">Vetting the readings and fitting the field …</p>}
        {view && (
          <>
            <p class="centre-line">
              Centre field <strong>{centre(view.assessment.centre)}</strong> ± {fixed(view.assessment.centre.uncertainty_ppm, 3)} ppm
            </p>
            <TrustSection view={view} onChanged={() => setVersion(version + 1)} busy={assessment.busy} />
            <FieldSection view={view} />
            <HarmonicsSection view={view} />
            <LimitsSection view={view} />
            <OutsideSection magnet={magnet} file={view.file} version={version} />
            {magnet.can_load && <PlanSection view={view} onPlans={() => setAgain((n) => n + 1)} />}
            <RoundSection
              view={view}
              surveys={surveys.map((s) => s.file)}
              onSurvey={(name) => {
                setAgain((n) => n + 1);
                if (name) {
                  setChosen(name);
                }
              }}
            />
          </>
        )}
        <StabilitySection magnet={magnet} logs={visit.logs.map((l) => l.file)} onLog={() => setAgain((n) => n + 1)} />
        {view && <PapersSection view={view} surveys={surveys.map((s) => s.file)} logs={visit.logs.map((l) => l.file)} />}
        {magnet.files
          .filter((f) => f.kind === "unknown_table")
          .map((f) => (
            <ColumnMapping key={f.file} magnet={id} file={f.file} onDone={() => setAgain(again + 1)} />
          ))}
        <TakeLink id={id} />
        <DropPlace
          label="Add readings to this magnet"
          hint="A further survey or field log; less than a week from this one it joins this visit."
          onFiles={add}
        />
      </main>
    </div>
  );
}

function Rail({ magnet, history, visitId }: { magnet: Magnet; history: HistoryEntry[]; visitId: string }) {
  const values = history.flatMap((s) => s.limits?.[0]?.value_ppm ?? []);
  const limit = history.find((s) => s.limits?.[0])?.limits?.[0]?.limit_ppm ?? null;
  return (
    <nav class="rail" aria-label="Visits of this magnet">
      <a class="rail-magnet" href={`#/${magnet.id}`}>
        {magnet.serial ?? magnet.name}
      </a>
      <Spark values={values} limit={limit} label={`Homogeneity over ${values.length} surveys`} />
      <ul>
        {magnet.visits.map((v) => (
          <li key={v.id}>
            <a href={`#/${magnet.id}/${v.id}`} aria-current={v.id === visitId ? "page" : undefined}>
              {v.id === "undated" ? "undated" : day(v.surveys[0]?.time ?? v.logs[0]?.time ?? null)}
            </a>
          </li>
        ))}
      </ul>
    </nav>
  );
}
