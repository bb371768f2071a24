import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { asProblem, type Capture, get, type Problem, post } from "../api";
import { isLive } from "./words";

const AGAIN_MS = 1500;
const LOOK_MS = 3000;

/** This page among all that look at a capture. */
const CLIENT = (() => {
  const known = sessionStorage.getItem("client") ?? crypto.randomUUID();
  sessionStorage.setItem("client", known);
  return known;
})();

export interface Following {
  capture: Capture | null;
  /** When the capture was as it says, by this machine's clock, ms. */
  at: number;
  /** The program does not answer. */
  away: boolean;
  drives: boolean;
  problem: Problem | null;
  begin: (asked: object) => void;
  resume: (survey: string) => void;
  act: (action: string, more?: object) => void;
}

/** Follows the capture of a magnet, over lost connections and restarts of the program. */
export function useCapture(magnet: string): Following {
  const [capture, setCapture] = useState<Capture | null>(null);
  const [at, setAt] = useState(0);
  const [away, setAway] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [again, setAgain] = useState(0);
  const latest = useRef<Capture | null>(null);
  const path = `magnets/${magnet}/capture`;

  useEffect(() => {
    const abort = new AbortController();
    let events: EventSource | null = null;
    let timer = 0;
    const later = (ms: number) => {
      events?.close();
      timer = window.setTimeout(look, ms);
    };
    const take = (seen: Capture) => {
      latest.current = seen;
      setCapture(seen);
      setAt(performance.now());
      setAway(false);
    };
    const follow = () => {
      events = new EventSource(`/api/v1/${path}/events`);
      events.onmessage = (e) => {
        const seen = JSON.parse(e.data) as Capture;
        take({ ...latest.current, ...seen, next: seen.next });
        if (!isLive(seen)) {
          later(0);
        }
      };
      events.onerror = () => later(AGAIN_MS);
    };
    const look = async () => {
      try {
        const seen = await get<Capture>(path, abort.signal);
        const before = latest.current;
        const wasMine = before !== null && isLive(before) && before.driver === CLIENT;
        if (wasMine && seen.phase === "none" && before.survey && seen.unfinished?.includes(before.survey)) {
          await post(`${path}/resume`, { client: CLIENT, survey: before.survey }); // the program was restarted
          later(0);
          return;
        }
        take(seen);
        if (isLive(seen)) {
          follow();
        } else {
          later(LOOK_MS);
        }
      } catch (e) {
        if (!abort.signal.aborted) {
          setAway(asProblem(e).status === 0);
          later(AGAIN_MS);
        }
      }
    };
    void look();
    return () => {
      abort.abort();
      events?.close();
      clearTimeout(timer);
    };
  }, [path, again]);

  const send = useCallback(
    (where: string, body: object, begins: boolean) => {
      setProblem(null);
      post<Capture>(`${path}${where}`, { client: CLIENT, ...body }).then(
        () => begins && setAgain((n) => n + 1),
        (e) => setProblem(asProblem(e)),
      );
    },
    [path],
  );
  return {
    capture,
    at,
    away,
    problem,
    drives: capture?.driver === CLIENT,
    begin: (asked) => send("", asked, true),
    resume: (survey) => send("/resume", { survey }, true),
    act: (action, more = {}) => send("/actions", { action, ...more }, false),
  };
}
