// Runs the speed rows natively and under node, one after the other, and prints both with their ratio.
//   node ratio.mjs NATIVE_PROGRAM WASM_PROGRAM.js
import { execFileSync } from "node:child_process";

const [native, wasm] = process.argv.slice(2);
if (!wasm) throw new Error("ratio.mjs needs the native program and the one for node");

const rowsOf = (text) => text.trim().split("\n").map((line) => line.split("\t"));
// Emscripten's loader takes a node that has fetch for a browser; not every version of node knows the flag.
const flag = "--no-experimental-fetch";
const flags = process.allowedNodeEnvironmentFlags.has(flag) ? [flag] : [];
const nativeRows = rowsOf(execFileSync(native, { encoding: "utf8" }));
const wasmRows = new Map(rowsOf(execFileSync(process.execPath, [...flags, wasm], { encoding: "utf8" })));

console.log("Times faster than stereo tape at 48 kHz runs, one core\n");
console.log(`${"".padEnd(16)}${"native".padStart(10)}${"wasm".padStart(10)}${"ratio".padStart(10)}`);
for (const [name, times] of nativeRows) {
  const under = Number(wasmRows.get(name));
  console.log(
    name.padEnd(16) + times.padStart(10) + String(under).padStart(10) + (Number(times) / under).toFixed(2).padStart(10),
  );
}
