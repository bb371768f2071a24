import { get, type Magnet } from "../api";
import { BeginSurvey } from "../caller/BeginSurvey";
import { Caller } from "../caller/Caller";
import { useCapture } from "../caller/useCapture";
import { isLive } from "../caller/words";
import { Trouble, useLoaded } from "../parts";

/** The step before readings: taking them at the magnet. */
export function TakePage({ id }: { id: string }) {
  const following = useCapture(id);
  const { capture, away, problem } = following;
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
      <h1>Take a survey</h1>
      {away && (
        <p class="trouble" role="alert">
          The program does not answer. Is fieldwright serve still running? What was read is safe.
        </p>
      )}
      {problem && <Trouble problem={problem} />}
      {capture.phase === "failed" && (
        <p class="trouble" role="alert">
          {capture.trouble}
        </p>
      )}
      {capture.phase === "saved" && (
        <p class="answer" role="status">
          Saved as {capture.survey}.{" "}
          {visit && <a href={`#/${id}/${visit.id}`}>See what it says</a>}
        </p>
      )}
      {capture.phase === "stopped" && <p class="answer">Stopped. What was read is kept.</p>}
      <BeginSurvey capture={capture} onBegin={following.begin} onResume={following.resume} />
    </main>
  );
}
