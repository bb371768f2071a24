import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { asProblem, get, type LiveWork, type Problem, post } from "./api";

const AGAIN_MS = 1500;

/** This page among all that look at work with a reader. */
const CLIENT = (() => {
  const known = sessionStorage.getItem("client") ?? crypto.randomUUID();
  sessionStorage.setItem("client", known);
  return known;
})();

export interface Following<T> {
  work: T | null;
  /** When the work was as it says, by this machine's clock, ms. */
  at: number;
  /** The program does not answer. */
  away: boolean;
  drives: boolean;
  problem: Problem | null;
  begin: (asked: object) => void;
  /** Does something with what was left: resume, keep. */
  left: (what: string, named: object) => void;
  act: (action: string, more?: object) => void;
}

/** What differs between kinds of work. */
export interface Kind<T> {
  /** Below the magnet's address. */
  path: string;
  isLive: (work: T) => boolean;
  /** An event brings no more than what changes; null = too much was missed. */
  merged: (before: T | null, event: T) => T | null;
  /** How this page goes on with what it drove before the program was restarted; null = not at all. */
  goOn: (before: T, now: T) => { where: string; body: object } | null;
  /** Between two looks whether somebody has begun. */
  lookMs: number;
}

/** Follows work at a magnet, over lost connections and restarts of the program. */
export function useLive<T extends LiveWork>(magnet: string, kind: Kind<T>): Following<T> {
  const [work, setWork] = useState<T | null>(null);
  const [at, setAt] = useState(0);
  const [away, setAway] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [again, setAgain] = useState(0);
  const latest = useRef<T | null>(null);
  const path = `magnets/${magnet}/${kind.path}`;

  useEffect(() => {
    const abort = new AbortController();
    let events: EventSource | null = null;
    let timer = 0;
    const later = (ms: number) => {
      events?.close();
      timer = window.setTimeout(look, ms);
    };
    const take = (seen: T) => {
      latest.current = seen;
      setWork(seen);
      setAt(performance.now());
      setAway(false);
    };
    const follow = () => {
      events = new EventSource(`/api/v1/${path}/events`);
      events.onmessage = (e) => {
        const seen = kind.merged(latest.current, JSON.parse(e.data) as T);
        if (seen) {
          take(seen);
        }
        if (!seen || !kind.isLive(seen)) {
          later(0);
        }
      };
      events.onerror = () => later(AGAIN_MS);
    };
    const look = async () => {
      try {
        const seen = await get<T>(path, abort.signal);
        const before = latest.current;
        const wasMine = before !== null && kind.isLive(before) && before.driver === CLIENT;
        const on = wasMine && seen.phase === "none" ? kind.goOn(before, seen) : null;
        if (on) {
          await post(`${path}${on.where}`, { client: CLIENT, ...on.body }); // the program was restarted
          later(0);
          return;
        }
        take(seen);
        if (kind.isLive(seen)) {
          follow();
        } else {
          later(kind.lookMs);
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
      post(`${path}${where}`, { client: CLIENT, ...body }).then(
        () => begins && setAgain((n) => n + 1),
        (e) => setProblem(asProblem(e)),
      );
    },
    [path],
  );
  return {
    work,
    at,
    away,
    problem,
    drives: work?.driver === CLIENT,
    begin: (asked) => send("", asked, true),
    left: (what, named) => send(`/${what}`, named, true),
    act: (action, more = {}) => send("/actions", { action, ...more }, false),
  };
}
