import { useEffect, useRef, useState } from "preact/hooks";
import type { Capture, Magnet } from "../api";
import { prose } from "../format";
import { Overcome, Trouble, Warnings } from "../parts";
import { may } from "../session";
import type { Following as Followed } from "../useLive";
import "./caller.css";
import { Dial } from "./Dial";
import { Picked } from "./Picked";
import { ONWARD, Sounds, useKeys, useWakeLock } from "./atTheBore";
import { allowSound, say, sound } from "./voice";
import { degrees, heard, prompt, same, spoken, stateOf, timeLeft } from "./words";

type Following = Followed<Capture>;

/** Those that say again what was said. */
const SAY_AGAIN = ["PageUp", "ArrowLeft", "ArrowUp"];

/** What the person at the bore sees from metres away, and hears. */
export function Caller({ magnet, following }: { magnet: Magnet; following: Following }) {
  const capture = following.work as Capture;
  const { drives, act } = following;
  const [picked, setPicked] = useState<number | null>(null);
  const onward = () => {
    if (capture.phase === "ready" && capture.next) {
      act("read", { number: capture.next.number });
    } else if (capture.phase === "complete") {
      act("save");
    }
  };
  const again = () => say([...(capture.said ?? []).map((r) => r.text), prompt(capture)].map(spoken));
  useKeys(drives && picked === null, (key) => {
    allowSound();
    if (ONWARD.includes(key)) {
      onward();
    } else if (SAY_AGAIN.includes(key)) {
      again();
    } else if (key === "u") {
      act("undo");
    } else {
      return false;
    }
    return true;
  });
  useSound(capture, drives);
  useWakeLock();
  const state = stateOf(capture);
  const angle = capture.next ? degrees(capture.next.angle_deg) : "✓";
  return (
    <main class="caller">
      <section class={`caller-stage caller-${state.look}`} aria-label="What is to be done now">
        <p class="caller-state" role="status">
          {state.word}
        </p>
        <p class="caller-angle" style={{ "--letters": Math.max(3, angle.length) }}>
          {angle}
        </p>
        <Said capture={capture} />
      </section>
      <div class="caller-side">
        <Dial capture={capture} onPick={setPicked} />
        <Progress following={following} />
      </div>
      <section class="caller-desk" aria-label="For the laptop">
        {following.away && (
          <p class="trouble" role="alert">
            The program does not answer; this page tries again by itself. What was read is safe.
          </p>
        )}
        {following.problem && <Trouble problem={following.problem} />}
        {capture.trouble && (
          <p class="trouble" role="alert">
            {capture.trouble}
          </p>
        )}
        <Warnings list={capture.warnings ?? []} />
        {!drives && (
          <p class="trouble">
            Another page drives this survey; here you watch.{" "}
            {may("measure") && (
              <button type="button" onClick={() => act("drive")}>
                Drive from here
              </button>
            )}
          </p>
        )}
        {drives && picked !== null && <Picked angle={picked} capture={capture} act={act} onDone={() => setPicked(null)} />}
        {drives && <Controls following={following} onward={onward} again={again} />}
        <ToRepeat capture={capture} onPick={drives ? setPicked : null} />
        <Overcome notes={capture.notes ?? []} />
        <p class="note">
          <a href={`#/${magnet.id}`}>{magnet.name}</a>, {capture.survey}, read through {capture.reader}. Leaving this page stops nothing.
        </p>
      </section>
    </main>
  );
}

/** What the last reading told, large. */
function Said({ capture }: { capture: Capture }) {
  const said = (capture.said ?? []).filter((r) => r.kind !== "note");
  const done = capture.done ?? 0;
  if (said.length === 0) {
    return <p class="caller-said">{done > 0 && capture.phase !== "reading" ? "✓ Taken" : " "}</p>;
  }
  return (
    <ul class="caller-said">
      {said.slice(0, 3).map((r) => (
        <li key={r.text} class={r.asks_again ? "caller-again" : ""}>
          {r.asks_again ? "↻ " : ""}
          {prose(r.text)}
        </li>
      ))}
    </ul>
  );
}

function Progress({ following }: { following: Following }) {
  const capture = following.work as Capture;
  const left = timeLeft(capture.seconds_left);
  return (
    <div class="caller-progress">
      <progress max={capture.of ?? 1} value={capture.done ?? 0} aria-label="Angles read" />
      <p>
        {capture.done ?? 0} of {capture.of ?? 0} read{left ? ` · ${left}` : ""}
        <Countdown following={following} />
      </p>
    </div>
  );
}

/** When the timer reads next. */
function Countdown({ following }: { following: Following }) {
  const to = following.work?.advance?.seconds_to_read ?? null;
  const [now, setNow] = useState(performance.now());
  useEffect(() => {
    const timer = to === null ? 0 : window.setInterval(() => setNow(performance.now()), 250);
    return () => clearInterval(timer);
  }, [to === null]);
  if (to === null) {
    return null;
  }
  return <strong> · reads in {Math.max(0, Math.ceil(to - (now - following.at) / 1000))} s</strong>;
}

function Controls({ following, onward, again }: { following: Following; onward: () => void; again: () => void }) {
  const capture = following.work as Capture;
  const { act } = following;
  const by = capture.advance ?? { kind: "hand", seconds: 0 };
  const [seconds, setSeconds] = useState(20);
  const idle = capture.phase === "ready" || capture.phase === "complete";
  const press = (what: () => void) => (e: Event) => {
    (e.currentTarget as HTMLElement).blur(); // so that a pedal does not press it again
    allowSound();
    what();
  };
  return (
    <>
      <div class="choices">
        <button type="button" class="caller-go" disabled={!idle} onClick={press(onward)}>
          {capture.phase === "complete" ? "Save the survey" : "Read it now"}
        </button>
        <button type="button" class="plain" disabled={!idle || capture.done === 0} onClick={press(() => act("undo"))}>
          Undo the last
        </button>
        <button type="button" class="plain" onClick={press(again)}>
          Say it again
        </button>
        <button type="button" class="plain" onClick={press(() => act("stop"))}>
          Stop, and go on another time
        </button>
      </div>
      <fieldset class="surveys">
        <legend>The next angle is read</legend>
        {(
          [
            ["hand", "by a key or a pedal"],
            ["timer", "by a timer"],
            ["settled", "by itself, when it was turned and rests"],
          ] as const
        ).map(([kind, words]) => (
          <label key={kind} class={by.kind === kind ? "chip chip-on" : "chip"}>
            <input
              type="radio"
              name="advance"
              checked={by.kind === kind}
              onChange={(e) => {
                e.currentTarget.blur();
                act("advance", { advance: kind, seconds: kind === "timer" ? seconds : 0 });
              }}
            />
            {words}
          </label>
        ))}
        {by.kind === "timer" && (
          <label class="inline">
            every
            <input
              type="number"
              class="caller-seconds"
              min="1"
              max="3600"
              value={seconds}
              onChange={(e) => {
                const chosen = Number(e.currentTarget.value);
                setSeconds(chosen);
                act("advance", { advance: "timer", seconds: chosen });
              }}
            />
            s
          </label>
        )}
      </fieldset>
      <div class="choices">
        <Sounds />
        <span class="note">
          Space, Enter, Page Down or → reads; Page Up or ← says it again; U undoes; pick an angle on the dial to take it again.
        </span>
      </div>
    </>
  );
}

function ToRepeat({ capture, onPick }: { capture: Capture; onPick: ((angle: number) => void) | null }) {
  const standing = capture.standing ?? [];
  if (standing.length === 0) {
    return null;
  }
  return (
    <ul class="caller-standing" aria-label="What stands against the readings so far">
      {standing.map((r) => (
        <li key={r.text}>
          {prose(r.text)}
          {onPick && r.asks_again && r.angle_deg !== null && !(capture.next && same(capture.next.angle_deg, r.angle_deg)) && (
            <button type="button" class="plain" onClick={() => onPick(r.angle_deg as number)}>
              Take {degrees(r.angle_deg)} again
            </button>
          )}
        </li>
      ))}
    </ul>
  );
}

function useSound(capture: Capture, on: boolean) {
  const before = useRef<Capture | null>(null);
  useEffect(() => {
    const now = heard(before.current, capture);
    before.current = capture;
    if (on) {
      sound(now.tones);
      say(now.say.map(spoken));
    }
  }, [capture, on]);
}
