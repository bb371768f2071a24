import { useEffect, useRef, useState } from "preact/hooks";
import type { Seating } from "../api";
import { ONWARD, Sounds, useKeys, useWakeLock } from "../caller/atTheBore";
import { allowSound, say, sound } from "../caller/voice";
import { degrees, spoken } from "../caller/words";
import { prose } from "../format";
import { Overcome, Trouble } from "../parts";
import type { Following } from "../useLive";
import { BorePicture } from "./BorePicture";
import { moves, sentences, stateOf } from "./words";

const SAY_EACH_MS = 5000;

/** What the person who moves the array sees from metres away, and hears. */
export function SeatStage({ following, seating }: { following: Following<Seating>; seating: Seating }) {
  const { drives, act } = following;
  const state = stateOf(seating);
  const advice = seating.advice ?? null;
  const list = advice ? moves(advice) : [];
  const waits = seating.phase === "ready";
  useKeys(drives && waits, (key) => {
    allowSound();
    if (!ONWARD.includes(key)) {
      return false;
    }
    act("moved");
    return true;
  });
  useSeatSound(seating, drives);
  useWakeLock();
  return (
    <div class="seat">
      <section class={`caller-stage caller-${state.look}`} aria-label="Where the array is to go">
        <p class="caller-state" role="status">
          {state.word}
        </p>
        <div class="seat-moves">
          {list.map((m) => (
            <p key={m.way} class="seat-move">
              <span class="seat-far">{m.far}</span>
              <span class="seat-way">{m.way}</span>
              <span class="seat-unsure">{m.uncertainty}</span>
            </p>
          ))}
          {advice && list.length === 0 && <p class="seat-far">{advice.seated ? "✓" : "What is seen is within"}</p>}
        </div>
        <ul class="caller-said">
          {advice?.lines.slice(1).map((line) => (
            <li key={line}>{prose(line)}</li>
          ))}
        </ul>
      </section>
      {advice && <BorePicture advice={advice} />}
      <div class="seat-desk">
        {following.away && (
          <p class="trouble" role="alert">
            The program does not answer; this page tries again by itself.
          </p>
        )}
        {following.problem && <Trouble problem={following.problem} />}
        {seating.trouble && (
          <p class="trouble" role="alert">
            {seating.trouble}
          </p>
        )}
        <p class="seat-progress">
          At {degrees(seating.angle_deg ?? 0)}: {seating.probes_read ?? 0} of {seating.probes ?? 0} probes read
          {advice && advice.angles_deg.length > 1 ? `; counted together: ${advice.angles_deg.map(degrees).join(" and ")}` : ""}
        </p>
        {drives ? (
          <Controls following={following} seating={seating} />
        ) : (
          <p class="trouble">
            Another page drives this; here you watch.{" "}
            <button type="button" onClick={() => act("drive")}>
              Drive from here
            </button>
          </p>
        )}
        <Overcome notes={seating.notes ?? []} />
        <p class="caution">{seating.caution}</p>
      </div>
    </div>
  );
}

function Controls({ following, seating }: { following: Following<Seating>; seating: Seating }) {
  const { act } = following;
  const [angle, setAngle] = useState(90);
  const turned = (e: Event) => {
    e.preventDefault();
    allowSound();
    act("turned", { angle_deg: angle });
    setAngle((angle + 270) % 360); // back to where it stood before
  };
  return (
    <div class="choices">
      {seating.phase === "ready" ? (
        <button type="button" class="caller-go" onClick={() => act("moved")}>
          It was moved: go on
        </button>
      ) : (
        <form class="choices" onSubmit={turned}>
          <label class="inline">
            Turned, and not moved, to
            <input type="number" class="caller-seconds" step="any" value={angle} onInput={(e) => setAngle(Number(e.currentTarget.value))} />°
          </label>
          <button type="submit">It stands there</button>
        </form>
      )}
      <button type="button" class="plain" onClick={() => act("stop")}>
        Enough
      </button>
      <Sounds />
    </div>
  );
}

/** Tones at each change of state; where to, not more often than one can follow. */
function useSeatSound(seating: Seating, on: boolean) {
  const before = useRef<Seating | null>(null);
  const said = useRef(0);
  useEffect(() => {
    const last = before.current;
    before.current = seating;
    if (!on || !last) {
      return;
    }
    if (last.phase !== seating.phase) {
      sound(seating.phase === "ready" ? ["ready"] : seating.phase === "lost" ? ["repeat"] : []);
    }
    const now = performance.now();
    if (last.found !== seating.found && now - said.current > SAY_EACH_MS) {
      said.current = now;
      say(sentences(seating).map(spoken));
    }
  }, [seating, on]);
}
