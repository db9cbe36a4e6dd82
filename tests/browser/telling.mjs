// Telling: how a run says what became of each of its tests, and how long it waits for one. tests/run counts these lines.
import { Failed } from "./check.mjs";
import { TimedOut } from "./instrument.mjs";

let bad = 0;

export function tell(name, fault, notes = []) {
  const beside = notes.length > 0 ? ` (${notes.join(", ")})` : "";
  console.log(fault === undefined ? `ok ${name}${beside}` : `not ok ${name}: ${fault.split("\n")[0]}${beside}`);
  if (fault !== undefined) bad += 1;
}
export const exit_code = () => (bad === 0 ? 0 : 1);

function in_time(work, limit_ms) {
  let timer;
  const late = new Promise((_, reject) => {
    timer = setTimeout(() => reject(new TimedOut(`not finished after ${limit_ms / 1000} s`)), limit_ms);
  });
  return Promise.race([work, late]).finally(() => clearTimeout(timer));
}

// What went wrong, in words, or nothing.
export async function fault_of(work, limit_ms) {
  try {
    await in_time(work(), limit_ms);
    return undefined;
  } catch (error) {
    return error instanceof Failed || error instanceof TimedOut ? error.message : String(error.stack ?? error).replace(/\s*\n\s*/g, " ").slice(0, 600);
  }
}
