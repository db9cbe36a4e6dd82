// A static web server for one folder, on this computer's loopback addresses only.
// Usage: node static_server.mjs --folder FOLDER [--port 8476] [--base /PATH/]
// Prints the address once it listens. Where FOUR76_OPEN names a program, that is started with the address.
/** @import {IncomingMessage, OutgoingHttpHeaders, ServerResponse} from "node:http" */
import { spawn } from "node:child_process";
import { createReadStream, realpathSync, statSync } from "node:fs";
import { createServer } from "node:http";
import { extname, join, sep } from "node:path";
import { parseArgs } from "node:util";

const { values: options } = parseArgs({
  options: {
    folder: { type: "string" },
    port: { type: "string", default: "8476" },
    base: { type: "string", default: "/" },
  },
});

/** @type {Record<string, string>} */
const kinds = {
  ".css": "text/css; charset=utf-8",
  ".html": "text/html; charset=utf-8",
  ".ico": "image/x-icon",
  ".js": "text/javascript; charset=utf-8",
  ".json": "application/json",
  ".mjs": "text/javascript; charset=utf-8",
  ".otf": "font/otf",
  ".png": "image/png",
  ".sha256": "text/plain; charset=utf-8",
  ".svg": "image/svg+xml",
  ".txt": "text/plain; charset=utf-8",
  ".wasm": "application/wasm",
  ".wav": "audio/wav",
  ".webmanifest": "application/manifest+json",
};

const folder = realpathSync(options.folder ?? fail("which folder? --folder FOLDER"));
const port = Number(options.port);
const base = `/${options.base}/`.replace(/\/+/g, "/");
if (!Number.isInteger(port) || port < 0 || port > 65535) fail(`${options.port} is not a port number.`);

/** @param {string} message @returns {never} */
function fail(message) {
  console.error(`Four76: ${message}`);
  process.exit(1);
}

// The file that a request's path means, or nothing. Links are followed first, so that none leads out of the folder.
/** @param {string} path */
function file_for(path) {
  try {
    let file = realpathSync(join(folder, path));
    if (statSync(file).isDirectory()) file = realpathSync(join(file, "index.html"));
    return file.startsWith(folder + sep) && statSync(file).isFile() ? file : undefined;
  } catch {
    return undefined; // not there
  }
}

/** @param {ServerResponse} response @param {number} status @param {string} text @param {OutgoingHttpHeaders} headers */
function answer(response, status, text, headers = {}) {
  response.writeHead(status, { "Content-Type": "text/plain; charset=utf-8", ...headers });
  response.end(`${text}\n`);
}

/** @param {IncomingMessage} request @param {ServerResponse} response */
function handle(request, response) {
  if (request.method !== "GET" && request.method !== "HEAD") {
    answer(response, 405, "Only GET and HEAD.", { Allow: "GET, HEAD" });
    return;
  }
  let path;
  try {
    path = decodeURIComponent(new URL(request.url ?? "", "http://localhost").pathname);
  } catch {
    answer(response, 400, "This address cannot be read.");
    return;
  }
  if (path + "/" === base) {
    answer(response, 301, "Moved.", { Location: base });
    return;
  }
  const file = path.startsWith(base) ? file_for(path.slice(base.length)) : undefined;
  if (!file) {
    answer(response, 404, "There is no such file.");
    return;
  }
  response.writeHead(200, {
    "Content-Type": kinds[extname(file)] ?? "application/octet-stream",
    "Content-Length": statSync(file).size,
    "Cache-Control": "no-cache",
    "X-Content-Type-Options": "nosniff",
  });
  if (request.method === "HEAD") response.end();
  else createReadStream(file).on("error", () => response.destroy()).pipe(response);
}

// "localhost" may mean either address, and a computer may lack the second: the first must work, the second may.
/** @param {string} host @param {number} at @param {boolean} must @returns {Promise<number | undefined>} */
function listen(host, at, must) {
  return new Promise((resolve) => {
    const server = createServer(handle);
    server.on("error", (/** @type {NodeJS.ErrnoException} */ error) => {
      if (must && error.code === "EADDRINUSE") {
        fail(`port ${at} is in use by another program. Stop that one, or choose another: shell/serve --port ${at + 1}`);
      }
      if (must) fail(`cannot listen on port ${at}: ${error.message}`);
      resolve(undefined);
    });
    server.listen(at, host, () => {
      const address = server.address();
      resolve(address && typeof address === "object" ? address.port : undefined);
    });
  });
}

const listening = (await listen("127.0.0.1", port, true)) ?? port;
await listen("::1", listening, false);
const address = `http://localhost:${listening}${base}`;
console.log(`Four76 is on ${address}   (Ctrl-C stops it)`);

if (process.env.FOUR76_OPEN) {
  const opener = spawn(process.env.FOUR76_OPEN, [address], { stdio: "ignore", detached: true });
  opener.on("error", () => {}); // the address is printed: opening is a courtesy
  opener.unref();
}
for (const signal of ["SIGINT", "SIGTERM"]) process.on(signal, () => process.exit(0));
