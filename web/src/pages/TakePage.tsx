import { get, type Magnet } from "../api";
import { BeginSurvey } from "../caller/BeginSurvey";
import { Caller } from "../caller/Caller";
import { CAPTURE, isLive } from "../caller/words";
import { Needs, Section, Trouble, useLoaded } from "../parts";
import { Seat } from "../seating/Seat";
import { useLive } from "../useLive";

/** The step before readings: taking them at the magnet. */
export function TakePage({ id }: { id: string }) {
  const following = useLive(id, CAPTURE);
  const { work: capture, away, problem } = following;
  const magnet = useLoaded(`${id} ${capture?.phase === "saved"}`, (s) => get<Magnet>(`magnets/${id}`, s));
  if (!capture || !magnet.value) {
    return (
      <main class="notebook">
        {magnet.problem ? <Trouble problem={magnet.problem} /> : <p class="waiting">Looking for a survey that is being taken …</p>}
      </main>
    );
  }
  if (isLive(capture)) {
    return <Caller magnet={magnet.value} following={following} />;
  }
  const visit = magnet.value.visits.find((v) => v.surveys.some((s) => s.file === capture.survey));
  return (
    <main class="notebook">
      <p class="crumbs">
        <a href={`#/${id}`}>{magnet.value.name}</a>
      </p>
      <h1>At the magnet</h1>
      {away && (
        <p class="trouble" role="alert">
          The program does not answer. Is fieldwright serve still running? What was read is safe.
        </p>
      )}
      <Needs role="measure" to="Reading the array">
        <Seat magnet={magnet.value} />
      </Needs>
      <Section
        id="take"
        question="What does the array read?"
        answer={
          capture.phase === "saved" ? (
            <span role="status">
              Saved as {capture.survey}. {visit && <a href={`#/${id}/${visit.id}`}>See what it says</a>}
            </span>
          ) : capture.phase === "stopped" ? (
            "Stopped. What was read is kept."
          ) : (
            "This page calls the angles, reads the array and says at once what to repeat."
          )
        }
      >
        {problem && <Trouble problem={problem} />}
        {capture.phase === "failed" && (
          <p class="trouble" role="alert">
            {capture.trouble}
          </p>
        )}
        {capture.busy ? (
          <p class="note">The reader is in use: {capture.busy}.</p>
        ) : (
          <Needs role="measure" to="Taking a survey">
            <BeginSurvey
              capture={capture}
              onBegin={following.begin}
              onResume={(survey) => following.left("resume", { survey })}
            />
          </Needs>
        )}
      </Section>
    </main>
  );
}
