// Runs the speed rows natively and under node, without and with SIMD, one after the other, and prints them side by side.
//   node ratio.mjs NATIVE_PROGRAM WASM_PROGRAM.js [WASM_WITH_SIMD.js]
import { execFileSync } from "node:child_process";

const [native, ...wasm] = process.argv.slice(2);
if (wasm.length === 0) throw new Error("ratio.mjs needs the native program and the one for node");

const rows_of = (text) => text.trim().split("\n").map((line) => line.split("\t"));
// Emscripten's loader takes a node that has fetch for a browser; not every version of node knows the flag.
const flag = "--no-experimental-fetch";
const flags = process.allowedNodeEnvironmentFlags.has(flag) ? [flag] : [];
const native_rows = rows_of(execFileSync(native, { encoding: "utf8" }));
const columns = wasm.map((program) => new Map(rows_of(execFileSync(process.execPath, [...flags, program], { encoding: "utf8" }))));

const kHeads = ["wasm", "native/wasm", "with SIMD", "SIMD/wasm"];
console.log("Times faster than stereo tape at 48 kHz runs, one core\n");
console.log("".padEnd(24) + ["native", ...kHeads.slice(0, 2 * wasm.length)].map((head) => head.padStart(12)).join(""));
for (const [name, times] of native_rows) {
  const [plain, simd] = columns.map((rows) => Number(rows.get(name)));
  const cells = [times, String(plain), (Number(times) / plain).toFixed(2)];
  if (simd !== undefined) cells.push(String(simd), (simd / plain).toFixed(2));
  console.log(name.padEnd(24) + cells.map((cell) => cell.padStart(12)).join(""));
}
