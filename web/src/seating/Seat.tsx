import { useEffect, useRef, useState } from "preact/hooks";
import type { Magnet, Seating } from "../api";
import { NoReader, ReaderChoice } from "../caller/ReaderChoice";
import { allowSound, say, sound } from "../caller/voice";
import { prose } from "../format";
import { Section, Trouble } from "../parts";
import { type Following, useLive } from "../useLive";
import { BorePicture } from "./BorePicture";
import { SeatStage } from "./SeatStage";
import { SEATING } from "./words";
import "./seating.css";

/** Before a survey: bringing the array's centre to where it should be. */
export function Seat({ magnet }: { magnet: Magnet }) {
  const following = useLive(magnet.id, SEATING);
  const seating = following.work;
  const live = seating !== null && SEATING.isLive(seating);
  const wasLive = useRef(false);
  useEffect(() => {
    if (wasLive.current && seating?.phase === "complete") {
      sound(["done"]);
      say(["Seated."]);
    }
    wasLive.current = live;
  }, [live, seating?.phase]);
  return (
    <Section
      id="seating"
      question="Is the array where it should be?"
      answer={answer(seating)}
      next={seating?.phase === "complete" ? "Take the survey below." : undefined}
    >
      {seating && live && <SeatStage following={following} seating={seating} />}
      {seating && !live && (
        <>
          {seating.phase === "complete" && seating.advice && <BorePicture advice={seating.advice} />}
          <Begin magnet={magnet} following={following} seating={seating} />
        </>
      )}
    </Section>
  );
}

function answer(s: Seating | null): string {
  switch (s?.phase) {
    case undefined:
      return "Looking …";
    case "complete":
      return prose(s?.advice?.lines[0] ?? "Seated.");
    case "opening":
    case "ready":
    case "reading":
    case "lost":
      return "It is read over and over while it is moved, and what to do stands below.";
    case "stopped":
      return "Not seen to be: the reading was ended before.";
    default:
      return "Not looked into yet. A survey can be taken anyway: what is off centre is found in it, and the harmonics then belong to where the array stood.";
  }
}

function Begin({ magnet, following, seating }: { magnet: Magnet; following: Following<Seating>; seating: Seating }) {
  const readers = seating.readers ?? [];
  const surveys = magnet.visits.flatMap((v) => v.surveys.map((s) => s.file));
  const [reader, setReader] = useState("");
  const [earlier, setEarlier] = useState("");
  const [to, setTo] = useState("magnetic-centre");
  const [angle, setAngle] = useState("0");
  const [tolerance, setTolerance] = useState("0.5");
  const chosenReader = readers.includes(reader) ? reader : (readers[0] ?? "");
  const chosenEarlier = surveys.includes(earlier) ? earlier : (surveys.at(-1) ?? "");
  const begin = (e: Event) => {
    e.preventDefault();
    allowSound();
    following.begin({
      reader: chosenReader,
      earlier: chosenEarlier,
      to,
      angle_deg: Number(angle),
      tolerance_mm: Number(tolerance),
    });
  };
  const told = (
    <>
      {following.away && (
        <p class="trouble" role="alert">
          The program does not answer. Is fieldwright serve still running?
        </p>
      )}
      {following.problem && <Trouble problem={following.problem} />}
      {seating.phase === "failed" && (
        <p class="trouble" role="alert">
          {seating.trouble}
        </p>
      )}
    </>
  );
  if (surveys.length === 0) {
    return <p class="note">It takes an earlier survey of this magnet in the same state to tell where its centre is; there is none yet.</p>;
  }
  if (seating.busy) {
    return <p class="note">The reader is in use: {seating.busy}.</p>;
  }
  if (readers.length === 0) {
    return <NoReader />;
  }
  return (
    <details open={seating.phase === "failed" || following.problem !== null}>
      <summary>{seating.phase === "complete" ? "Read it once more" : "Read the array while it is moved"}</summary>
      {told}
      <form class="panel" onSubmit={begin}>
        <div class="ask">
          <ReaderChoice readers={readers} value={chosenReader} onChoose={setReader} />
          <label>
            Earlier survey, nothing changed since
            <select value={chosenEarlier} onChange={(e) => setEarlier(e.currentTarget.value)}>
              {surveys.map((s) => (
                <option key={s}>{s}</option>
              ))}
            </select>
          </label>
          <label>
            Its centre goes to
            <select value={to} onChange={(e) => setTo(e.currentTarget.value)}>
              <option value="magnetic-centre">the magnetic centre</option>
              <option value="as-before">where it was in that survey</option>
            </select>
          </label>
          <label>
            The array stands at, °
            <input type="number" step="any" required value={angle} onInput={(e) => setAngle(e.currentTarget.value)} />
          </label>
          <label>
            Tolerance, mm
            <input type="number" min="0.01" step="any" required value={tolerance} onInput={(e) => setTolerance(e.currentTarget.value)} />
          </label>
          <button type="submit">Watch it while it is moved</button>
        </div>
        <p class="caution">{seating.caution}</p>
      </form>
    </details>
  );
}
