import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { askSession, asProblem, changePassword, type Problem, signIn, signOut } from "./api";
import { Trouble } from "./parts";
import { ROLE_WORDS, session } from "./session";

/** Lets those in whom the server knows; where it serves one person, that is everybody who reaches it. */
export function Door({ children }: { children: () => ComponentChildren }) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const ask = () => {
    setProblem(null);
    askSession().catch((e) => setProblem(asProblem(e)));
  };
  useEffect(ask, []);
  if (session.value?.role) {
    return <>{children()}</>;
  }
  return (
    <main class="notebook door">
      {problem ? (
        <Trouble problem={problem} onRetry={ask} />
      ) : session.value ? (
        <SignIn />
      ) : (
        <p class="waiting">Opening the notebook …</p>
      )}
    </main>
  );
}

function SignIn() {
  const [name, setName] = useState("");
  const [password, setPassword] = useState("");
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const enter = async (e: Event) => {
    e.preventDefault();
    setBusy(true);
    setProblem(null);
    try {
      await signIn(name, password);
    } catch (thrown) {
      setProblem(asProblem(thrown));
      setPassword("");
      setBusy(false);
    }
  };
  return (
    <form class="panel" onSubmit={enter}>
      <h1>Who is reading?</h1>
      <p class="soft">A team shares this notebook, so that each record has a name. A sign-in holds for twelve hours.</p>
      <label class="field">
        Name
        <input value={name} required autoFocus autoComplete="username" autoCapitalize="none" spellcheck={false} onInput={(e) => setName(e.currentTarget.value)} />
      </label>
      <label class="field">
        Password
        <input type="password" value={password} required autoComplete="current-password" onInput={(e) => setPassword(e.currentTarget.value)} />
      </label>
      {problem && <Trouble problem={problem} />}
      <button type="submit" disabled={busy}>
        {busy ? "Looking …" : "Sign in"}
      </button>
    </form>
  );
}

/** Who is signed in, and what they can do about it. */
export function SignedIn() {
  const s = session.value;
  if (!s?.role || !s.person) {
    return null;
  }
  return (
    <details class="who">
      <summary>
        {s.person} <span class="soft">· {s.role}</span>
      </summary>
      <div class="panel">
        <p>
          Signed in as <strong>{s.name}</strong>. You may {ROLE_WORDS[s.role]}.
        </p>
        <button type="button" onClick={() => void signOut()}>
          Sign out
        </button>
        <NewPassword />
      </div>
    </details>
  );
}

function NewPassword() {
  const [old, setOld] = useState("");
  const [next, setNext] = useState("");
  const [problem, setProblem] = useState<Problem | null>(null);
  const change = async (e: Event) => {
    e.preventDefault();
    setProblem(null);
    try {
      await changePassword(old, next);
    } catch (thrown) {
      setProblem(asProblem(thrown));
    }
  };
  return (
    <form onSubmit={change}>
      <h2>Another password</h2>
      <label class="field">
        The one you have
        <input type="password" value={old} required autoComplete="current-password" onInput={(e) => setOld(e.currentTarget.value)} />
      </label>
      <label class="field">
        The new one, 15 characters or more
        <input type="password" value={next} required minLength={15} autoComplete="new-password" onInput={(e) => setNext(e.currentTarget.value)} />
      </label>
      {problem && <Trouble problem={problem} />}
      <button type="submit">Change it and sign in again</button>
    </form>
  );
}
