import { type ChildProcess, spawn } from "node:child_process";
import { mkdirSync, mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { type Browser, chromium } from "playwright-core";

// The program as a user starts it, and a real browser.

export const ROOT = resolve(import.meta.dirname, "../..");
export const SCREENS = resolve(import.meta.dirname, "../target/screens");
mkdirSync(SCREENS, { recursive: true });

export interface Serving {
  url: string;
  data: string;
  process: ChildProcess;
  /** Milliseconds from start to listening. */
  ready: number;
}

export function newData(): string {
  return mkdtempSync(join(tmpdir(), "fieldwright-e2e-"));
}

/** Starts the server on a free port over a data directory, a new one unless it is given. */
export function serve(data = newData(), ...words: string[]): Promise<Serving> {
  const begun = performance.now();
  const child = spawn(join(ROOT, "fieldwright"), ["serve", "--port", "0", "--data", data, ...words], {
    stdio: ["ignore", "ignore", "pipe"],
  });
  return new Promise((done, fail) => {
    let said = "";
    child.stderr?.on("data", (chunk) => {
      said += chunk;
      const port = /Listening on (?:http:\/\/localhost:|port )(\d+)/.exec(said)?.[1];
      if (port) {
        done({ url: `http://localhost:${port}`, data, process: child, ready: performance.now() - begun });
      }
    });
    child.on("exit", (code) => fail(new Error(`the server ended with ${code}: ${said}`)));
  });
}

export function stop(serving: Serving, signal: NodeJS.Signals = "SIGTERM"): Promise<number | null> {
  return new Promise((done) => {
    serving.process.removeAllListeners("exit");
    serving.process.on("exit", (code) => done(code));
    serving.process.kill(signal);
  });
}

export function browser(): Promise<Browser> {
  const path = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? path[0], args: ["--no-sandbox"] });
}
