// How the page asks the server; it knows the server through this file and the documents alone.

import type { Magnet, Search, Session } from "./documents";
import { session, signedOut } from "./session";

export type * from "./documents";

/** What the server could not do, in its own words. */
export class Problem extends Error {
  constructor(
    readonly status: number,
    readonly title: string,
    detail: string,
  ) {
    super(detail);
  }
}

/** Whatever was thrown, as something that can be shown. */
export function asProblem(thrown: unknown): Problem {
  return thrown instanceof Problem ? thrown : new Problem(0, "A fault of the page", String(thrown));
}

/** The lists of changes that a magnet's folder holds, besides what is installed. */
export function changeLists(magnet: Magnet): string[] {
  return magnet.files.filter((f) => f.kind === "loading" && f.file !== "installed.csv").map((f) => f.file);
}

/** The list of the last plan made from a survey, or "". */
export function lastPlanFrom(magnet: Magnet, survey: string | null): string {
  return magnet.plans.filter((p) => p.plan?.survey === survey).at(-1)?.changes ?? "";
}

async function answered(response: Response): Promise<Response> {
  if (response.ok) {
    return response;
  }
  const problem = await response.json().catch(() => null);
  if (response.status === 401 && session.value?.role) {
    signedOut();
  }
  throw new Problem(response.status, problem?.title ?? "No answer", problem?.detail ?? `status ${response.status}`);
}

async function call(path: string, init?: RequestInit): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(`/api/v1/${path}`, init);
  } catch {
    throw new Problem(0, "The program does not answer", "Is fieldwright serve still running? What was saved is safe.");
  }
  return answered(response);
}

/** Asks who is signed in. */
export async function askSession() {
  session.value = await get<Session>("session");
}

export async function signIn(name: string, password: string) {
  session.value = await post<Session>("session", { name, password });
}

export async function signOut() {
  await call("session", { method: "DELETE" });
  signedOut();
}

/** Ends every sign-in with the old password, this one too. */
export async function changePassword(old: string, next: string) {
  await post("session/password", { old, new: next });
  signedOut();
}

export async function get<T>(path: string, signal?: AbortSignal): Promise<T> {
  return (await call(path, signal ? { signal } : undefined)).json();
}

export async function post<T>(path: string, body: unknown): Promise<T> {
  return (await call(path, { method: "POST", body: JSON.stringify(body) })).json();
}

/** A document with the tag that a change of it must name. */
export async function getTagged<T>(path: string): Promise<{ value: T; tag: string | null }> {
  const response = await call(path);
  return { value: await response.json(), tag: response.headers.get("ETag") };
}

/** Replaces what had the tag; null where nothing was there. Answers the new tag. */
export async function put(path: string, body: BodyInit, tag: string | null): Promise<string | null> {
  const response = await call(path, { method: "PUT", body, headers: tag ? { "If-Match": tag } : {} });
  return response.headers.get("ETag");
}

/**
 * Follows a search by its events till it has ended; answers how to leave it before.
 *
 * @param lost where the program knows the search no more
 */
export function follow<T extends { state: Search["state"] }>(path: string, hear: (now: T) => void, lost: (problem: Problem) => void): () => void {
  const events = new EventSource(`/api/v1/${path}/events`);
  events.onmessage = (event) => {
    const now = JSON.parse(event.data) as T;
    if (!goesOn(now)) {
      events.close();
    }
    hear(now);
  };
  events.onerror = () => {
    if (events.readyState === EventSource.CLOSED) {
      lost(new Problem(404, "The search is gone", "The program was started anew while it went on. Start it again."));
    }
  };
  return () => events.close();
}

/** Whether a search waits or is under way. */
export function goesOn(search: { state: Search["state"] } | null): boolean {
  return search !== null && (search.state === "waiting" || search.state === "searching");
}

/** Fetches a document and hands it to the person as a file. */
export async function download(path: string, method: "GET" | "POST" = "GET"): Promise<string> {
  const response = await call(path, { method });
  const name = /filename="([^"]+)"/.exec(response.headers.get("Content-Disposition") ?? "")?.[1] ?? "fieldwright";
  const url = URL.createObjectURL(await response.blob());
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
  return name;
}

export function query(parameters: Record<string, string | number | string[] | null | undefined>): string {
  const parts: string[] = [];
  for (const [name, value] of Object.entries(parameters)) {
    if (Array.isArray(value)) {
      parts.push(...value.map((one) => `${name}=${encodeURIComponent(one)}`)); // an empty one keeps its place
    } else if (value !== null && value !== undefined && value !== "") {
      parts.push(`${name}=${encodeURIComponent(String(value))}`);
    }
  }
  return parts.length > 0 ? `?${parts.join("&")}` : "";
}
