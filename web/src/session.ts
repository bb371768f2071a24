import { signal } from "@preact/signals";
import type { Session } from "./documents";

// Who sits at this page. Where one person has the program to themselves, nobody signs in and everything may be done.

export type Role = "see" | "measure" | "sign";

const ORDER: Role[] = ["see", "measure", "sign"];

/** What each role lets one do, as a sentence goes on after "may". */
export const ROLE_WORDS: Record<Role, string> = {
  see: "look at everything",
  measure: "add files, decide on readings, plan, look for iron outside, take surveys and record rounds",
  sign: "do everything, signed evidence included",
};

/** Null until the server has said. */
export const session = signal<Session | null>(null);

/** The server knows nobody here any more. */
export function signedOut() {
  session.value = { team: true, name: null, person: null, role: null };
}

export function may(role: Role, own = session.value?.role ?? null): boolean {
  return own !== null && ORDER.indexOf(own) >= ORDER.indexOf(role);
}

/** Why something cannot be done here; "" where it can. */
export function whyNot(what: string, role: Role, own = session.value?.role ?? null): string {
  return may(role, own) ? "" : `${what} takes the role “${role}”; yours is “${own ?? "none"}”.`;
}
