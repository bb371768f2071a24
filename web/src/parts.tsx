import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { asProblem, type Problem, type Verdict } from "./api";
import { prose } from "./format";
import { may, type Role, whyNot } from "./session";

// Small things that every section is made of.

export interface Loaded<T> {
  value: T | null;
  problem: Problem | null;
  busy: boolean;
}

/** Loads what a key describes, again whenever the key changes; the old value stays until the new one is there. */
export function useLoaded<T>(key: string | null, load: (signal: AbortSignal) => Promise<T>): Loaded<T> {
  const [state, setState] = useState<Loaded<T>>({ value: null, problem: null, busy: key !== null });
  useEffect(() => {
    if (key === null) {
      setState({ value: null, problem: null, busy: false });
      return;
    }
    const abort = new AbortController();
    setState((s) => ({ ...s, busy: true }));
    load(abort.signal).then(
      (value) => !abort.signal.aborted && setState({ value, problem: null, busy: false }),
      (error) =>
        !abort.signal.aborted &&
        setState({
          value: null,
          problem: asProblem(error),
          busy: false,
        }),
    );
    return () => abort.abort();
  }, [key]);
  return state;
}

/** A section of the notebook: a question, the sentence that answers it, the evidence, what to do next. */
export function Section(props: {
  id: string;
  question: string;
  answer: ComponentChildren;
  next?: ComponentChildren;
  busy?: boolean;
  children?: ComponentChildren;
}) {
  return (
    <section id={props.id} class="section" aria-busy={props.busy ?? false}>
      <h2>{props.question}</h2>
      <p class="answer">{props.answer}</p>
      {props.children}
      {props.next && (
        <p class="next">
          <span aria-hidden="true">→ </span>
          {props.next}
        </p>
      )}
    </section>
  );
}

export function Trouble({ problem, onRetry }: { problem: Problem; onRetry?: () => void }) {
  return (
    <div class="trouble" role="alert">
      <strong>{problem.title}.</strong> {problem.message}
      {onRetry && (
        <button type="button" class="plain" onClick={onRetry}>
          Try again
        </button>
      )}
    </div>
  );
}

/** What went wrong with a reader and was put right by itself. */
export function Overcome({ notes }: { notes: string[] }) {
  return notes.length === 0 ? null : (
    <details>
      <summary>Troubles that were overcome</summary>
      <ul>
        {notes.map((n, i) => (
          <li key={`${i}${n}`}>{prose(n)}</li>
        ))}
      </ul>
    </details>
  );
}

/** Shows what a role may do, or why it may not. */
export function Needs({ role, to, children }: { role: Role; to: string; children: ComponentChildren }) {
  return may(role) ? <>{children}</> : <p class="note not-yours">{whyNot(to, role)}</p>;
}

const VERDICT_WORDS: Record<Verdict, string> = {
  met: "met",
  not_met: "not met",
  undecided: "undecided",
  not_assessed: "not assessed",
};

export function VerdictMark({ verdict }: { verdict: Verdict }) {
  const sign = { met: "✓", not_met: "✕", undecided: "?", not_assessed: "·" }[verdict];
  return (
    <span class={`verdict verdict-${verdict}`}>
      <span aria-hidden="true">{sign} </span>
      {VERDICT_WORDS[verdict]}
    </span>
  );
}

/** The steps before readings: seating the array and taking them at the magnet. */
export function TakeLink({ id }: { id: string }) {
  return (
    <p class="next">
      <span aria-hidden="true">→ </span>
      <a href={`#/${id}/take`}>Take a survey at the magnet</a>: this page says where the array is to go, calls the angles, reads the
      array and says at once what to repeat.
    </p>
  );
}

export function Warnings({ list }: { list: string[] }) {
  if (list.length === 0) {
    return null;
  }
  return (
    <ul class="warnings">
      {list.map((w) => (
        <li key={w}>{prose(w)}</li>
      ))}
    </ul>
  );
}
