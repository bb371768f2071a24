import { type ChildProcess, spawn } from "node:child_process";
import { createConnection, createServer } from "node:net";
import { join } from "node:path";
import { ROOT } from "./serving";

// The simulated reader as a process of its own.

export const DEMO = join(ROOT, "app", "src", "main", "resources", "demo");
export const PROFILE = join(ROOT, "adapters/src/main/resources/org/fieldwright/adapters/instrument/simulated/simulated-reader.yaml");

export function freePort(): Promise<number> {
  return new Promise((done) => {
    const probe = createServer().listen(0, "127.0.0.1", () => {
      const address = probe.address();
      probe.close(() => done(typeof address === "object" && address ? address.port : 0));
    });
  });
}

export function startReader(scenario: string, port: number): Promise<ChildProcess> {
  const child = spawn(join(ROOT, "fieldwright"), ["reader", "--scenario", scenario, "--port", String(port)], {
    stdio: ["ignore", "ignore", "pipe"],
  });
  return new Promise((done, fail) => {
    let said = "";
    child.stderr?.on("data", (chunk) => {
      said += chunk;
      if (said.includes("answers at")) {
        done(child);
      }
    });
    child.on("exit", (code) => fail(new Error(`the reader ended with ${code}: ${said}`)));
  });
}

/** Puts the centre of the simulated array somewhere, mm. */
export function putArray(port: number, at: [number, number, number]): Promise<void> {
  return new Promise((done, fail) => {
    const socket = createConnection(port, "127.0.0.1", () => socket.write(`SIM:POS ${at.join(",")};*OPC?\n`));
    socket.on("data", () => {
      socket.end();
      done();
    });
    socket.on("error", fail);
  });
}
