// Processes: what a run starts beside itself. Each leads a group of its own, so that what it started ends with it, and
// all of them end by their id, the last first, however the run ends.
import { spawn } from "node:child_process";
import { setTimeout as wait } from "node:timers/promises";

const kGraceMs = 4000;

function signal(child, name) {
  try {
    process.kill(-child.pid, name);
    return true;
  } catch {
    return false; // nobody of the group is left
  }
}

export class Processes {
  #running = [];

  constructor() {
    process.on("exit", () => this.#running.forEach((child) => signal(child, "SIGKILL")));
    for (const name of ["SIGINT", "SIGTERM"]) process.on(name, () => process.exit(1));
  }

  // A child whose standard streams are pipes; stdio adds to them. child.said is the end of its standard error, for the
  // words of a fault; child.ended comes to its exit code.
  start(command, args, { env, stdio = [] } = {}) {
    const child = spawn(command, args, { env: { ...process.env, ...env }, stdio: ["pipe", "pipe", "pipe", ...stdio], detached: true });
    child.said = "";
    child.stderr.on("data", (text) => (child.said = (child.said + text).slice(-2000)));
    child.stdout.resume(); // nobody reads it
    child.stdin.on("error", () => {}); // it may end before all was written
    child.ended = new Promise((resolve) => {
      child.on("exit", (code) => resolve(code));
      child.on("error", (error) => {
        child.said += error.message;
        resolve(-1);
      });
    });
    this.#running.push(child);
    return child;
  }

  async end(child) {
    this.#running = this.#running.filter((other) => other !== child);
    if (!child.pid) return;
    signal(child, "SIGTERM");
    const late = Date.now() + kGraceMs;
    while (signal(child, 0) && Date.now() < late) await wait(20);
    signal(child, "SIGKILL");
    await child.ended;
  }
  async end_all() {
    for (const child of [...this.#running].reverse()) await this.end(child);
  }
}

// Waits until found() gives something; a child that ends before has failed.
export async function ready(child, what, found, patience_ms = 60_000) {
  const late = Date.now() + patience_ms;
  let code;
  child.ended.then((ended) => (code = ended));
  while (Date.now() < late) {
    const value = await found();
    if (value) return value;
    if (code !== undefined) throw new Error(`${what} ended with ${code}: ${child.said}`);
    await wait(30);
  }
  throw new Error(`${what} is not ready after ${patience_ms / 1000} s: ${child.said}`);
}
