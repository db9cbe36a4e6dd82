// Puts functions that are alike side by side in a WebAssembly program: gzip finds what repeats within 32 KB alone, and
// linkers order by file. Four76's is 4 % smaller so, as it comes over the network. Nothing but their order changes.
//
//   node web/order_functions.mjs PROGRAM.wasm FOLDER_OF_BINARYEN
import { spawnSync } from "node:child_process";
import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";

const [program, binaryen] = process.argv.slice(2);
const kPiece = 4; // bytes that two functions have in common
const kTooCommon = 400; // pieces in so many functions tell nothing
// A function is put where it is like the last ones: each counts for so much of the one behind it, and is weighed by such a
// power of its size. Which of them pack best is chance, so that each is tried.
const kFades = [0.86, 0.88, 0.9, 0.92, 0.94], kPowers = [0.74, 0.76, 0.78, 0.8, 0.82];

// ---- The bodies of the functions, from the code section: WebAssembly Core Specification, 5.5.13 ----------------------
function bodies_of(bytes) {
  const kCodeSection = 10;
  let at = 8; // behind the magic number and the version
  const number = () => {
    let value = 0;
    for (let shift = 0; ; shift += 7) {
      const byte = bytes[at++];
      value += (byte & 0x7f) * 2 ** shift;
      if (byte < 0x80) return value;
    }
  };
  while (at < bytes.length) {
    const section = bytes[at++];
    const end = number() + at;
    if (section === kCodeSection) {
      return Array.from({ length: number() }, () => {
        const size = number();
        at += size;
        return bytes.subarray(at - size, at);
      });
    }
    at = end;
  }
  return [];
}

// ---- The order -------------------------------------------------------------------------------------------------------
function pieces_of(body) {
  const pieces = new Set();
  for (let at = 0; at + kPiece <= body.length; ++at) pieces.add(body.readUInt32LE(at));
  return pieces;
}

// Of each piece: the functions that hold it.
function holders_of(pieces) {
  const holders = new Map();
  pieces.forEach((set, index) => {
    for (const piece of set) {
      const there = holders.get(piece);
      if (there) there.push(index);
      else holders.set(piece, [index]);
    }
  });
  return holders;
}

// Greedy: behind the last ones comes the one that has most in common with them for its size.
function alike_order(pieces, holders, fade, power) {
  const common = new Float64Array(pieces.length);
  const count = (index) => {
    common.forEach((_, other) => (common[other] *= fade));
    for (const piece of pieces[index]) {
      const list = holders.get(piece);
      if (list.length >= kTooCommon) continue;
      for (const other of list) common[other] += 1 / Math.sqrt(list.length);
    }
  };
  const weight = pieces.map((set) => set.size ** power + 20);
  const left = new Set(pieces.keys());
  const order = [];
  while (left.size > 0) {
    let best = -1;
    let most = -1;
    for (const index of left) {
      const alike = order.length === 0 ? pieces[index].size : common[index] / weight[index];
      if (alike > most) [best, most] = [index, alike];
    }
    left.delete(best);
    order.push(best);
    count(best);
  }
  return order;
}
function best_order(bodies) {
  const pieces = bodies.map(pieces_of), holders = holders_of(pieces);
  const packed = (order) => gzipSync(Buffer.concat(order.map((index) => bodies[index])), { level: 9 }).length;
  const orders = kFades.flatMap((fade) => kPowers.map((power) => alike_order(pieces, holders, fade, power)));
  return orders.map((order) => ({ order, bytes: packed(order) })).sort((a, b) => a.bytes - b.bytes)[0].order;
}

// ---- Through the text form, where functions go by names ------------------------------------------------------------------
function run(tool, ...words) {
  const { status, error, stderr } = spawnSync(join(binaryen, tool), words, { encoding: "utf8" });
  if (status !== 0) throw new Error(`${tool}: ${error ?? stderr}`);
}

// A function of the text begins with " (func $" and ends with the first line " )".
function split_text(text) {
  const lines = text.split("\n");
  const before = [], functions = [], behind = [];
  for (let at = 0; at < lines.length; ++at) {
    if (!lines[at].startsWith(" (func $")) {
      (functions.length === 0 ? before : behind).push(lines[at]);
      continue;
    }
    const from = at;
    const whole = (lines[at].match(/\(/g) ?? []).length === (lines[at].match(/\)/g) ?? []).length;
    while (!whole && lines[at] !== " )") ++at;
    functions.push(lines.slice(from, at + 1).join("\n"));
  }
  return { before, functions, behind };
}

const text = `${program}.wat`;
try {
  run("wasm-dis", program, "-o", text);
  const { before, functions, behind } = split_text(readFileSync(text, "utf8"));
  const bodies = bodies_of(readFileSync(program));
  if (bodies.length !== functions.length) throw new Error(`${bodies.length} functions in the program, ${functions.length} in its text`);
  writeFileSync(text, [...before, ...best_order(bodies).map((index) => functions[index]), ...behind].join("\n"));
  // No pass that would order anew; what is written is shortened as -Oz does it.
  run("wasm-opt", text, "--optimize-level=2", "--shrink-level=2", "--generate-stack-ir", "--optimize-stack-ir", "-o", program);
} finally {
  rmSync(text, { force: true });
}
