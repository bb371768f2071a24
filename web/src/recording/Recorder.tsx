import { useEffect, useRef } from "preact/hooks";
import type { Magnet } from "../api";
import { Sounds } from "../caller/atTheBore";
import { NoReader } from "../caller/ReaderChoice";
import { prose } from "../format";
import { Overcome, Trouble } from "../parts";
import { type Following, useLive } from "../useLive";
import type { Recording } from "../api";
import { BeginRecording } from "./BeginRecording";
import { LiveFigures } from "./LiveFigures";
import { RECORDING } from "./trace";
import { headline } from "./words";
import "./recording.css";

/** Watches the field against time at the magnet; the log then belongs to the notebook. */
export function Recorder({ magnet, onSaved }: { magnet: Magnet; onSaved: (log: string) => void }) {
  const following = useLive(magnet.id, RECORDING);
  const recording = following.work;
  const live = recording !== null && RECORDING.isLive(recording);
  useSaved(recording, live, onSaved);
  if (!recording) {
    return <p class="waiting">Looking whether the field is being recorded …</p>;
  }
  if (live) {
    return <Live magnet={magnet} following={following} recording={recording} />;
  }
  return (
    <details class="recorder" open={recording.phase !== "none" || (recording.unfinished?.length ?? 0) > 0}>
      <summary>Record the field against time now</summary>
      {following.away && (
        <p class="trouble" role="alert">
          The program does not answer. Is fieldwright serve still running? What was read is safe.
        </p>
      )}
      {following.problem && <Trouble problem={following.problem} />}
      {recording.phase === "failed" && (
        <p class="trouble" role="alert">
          {recording.trouble}
        </p>
      )}
      {recording.phase === "saved" && <Saved magnet={magnet} recording={recording} />}
      {(recording.unfinished ?? []).map((log) => (
        <div class="panel" key={log}>
          <p>
            <strong>{log} was left while it was recorded.</strong> Every reading is kept; the gap will be marked.
          </p>
          <div class="choices">
            <button type="button" onClick={() => following.left("resume", { log })}>
              Go on with {log}
            </button>
            <button type="button" class="plain" onClick={() => following.left("keep", { log })}>
              Keep it as it is
            </button>
          </div>
        </div>
      ))}
      {recording.busy ? (
        <p class="note">The reader is in use: {recording.busy}.</p>
      ) : (recording.readers ?? []).length === 0 ? (
        <NoReader />
      ) : (
        <BeginRecording magnet={magnet} recording={recording} onBegin={following.begin} />
      )}
    </details>
  );
}

function Live({ magnet, following, recording }: { magnet: Magnet; following: Following<Recording>; recording: Recording }) {
  const { drives, act } = following;
  return (
    <div class="panel recorder-live" role="group" aria-label="The recording">
      <p class="answer" role="status">
        {headline(recording)}
      </p>
      {/* Above what grows and shrinks with every reading, so that it stays under the hand. */}
      <div class="choices">
        {drives ? (
          <button type="button" disabled={recording.finishing} onClick={() => act("stop")}>
            Stop, and keep the log
          </button>
        ) : (
          <>
            <span>Another page began this recording; here you watch.</span>
            <button type="button" onClick={() => act("drive")}>
              Drive from here
            </button>
          </>
        )}
        <Sounds />
      </div>
      {following.away && (
        <p class="trouble" role="alert">
          The program does not answer; this page tries again by itself. What was read is safe.
        </p>
      )}
      {following.problem && <Trouble problem={following.problem} />}
      {recording.trouble && (
        <p class="trouble" role="alert">
          {recording.trouble}
        </p>
      )}
      <LiveFigures magnet={magnet} recording={recording} />
      {(recording.said?.length ?? 0) > 0 && (
        <details>
          <summary>What was said ({recording.said?.length})</summary>
          <ul>
            {recording.said?.map((s) => (
              <li key={`${s.time}${s.text}`}>
                {s.time.slice(11, 19)} UTC: {prose(s.text)}
              </li>
            ))}
          </ul>
        </details>
      )}
      <Overcome notes={recording.notes ?? []} />
      <p class="caution">{recording.caution}</p>
    </div>
  );
}

function Saved({ magnet, recording }: { magnet: Magnet; recording: Recording }) {
  const visit = magnet.visits.find((v) => v.logs.some((l) => l.file === recording.log));
  return (
    <p class="answer" role="status">
      {recording.trouble ?? `Saved as ${recording.log}.`}{" "}
      {visit && <a href={`#/${magnet.id}/${visit.id}`}>See what it says of the stability</a>}
    </p>
  );
}

/** Tells once that a recording that was watched here has become a log. */
function useSaved(recording: Recording | null, live: boolean, onSaved: (log: string) => void) {
  const wasLive = useRef(false);
  const left = useRef(0);
  const kept = recording?.unfinished?.length ?? left.current;
  useEffect(() => {
    const ended = wasLive.current && !live && recording?.phase === "saved";
    if (recording && (ended || kept < left.current)) {
      onSaved(recording.log ?? "");
    }
    wasLive.current = live;
    left.current = kept;
  }, [live, recording?.phase, kept]);
}
