// The page's own static server, on a port of its own, as a child that can be stopped.
import { spawn } from "node:child_process";
import { fileURLToPath } from "node:url";

const kServer = fileURLToPath(new URL("../../shell/static_server.mjs", import.meta.url));

const running = new Set();
process.on("exit", () => running.forEach((child) => child.kill())); // a run that is cut short leaves none behind

export async function serve(folder, base = "/") {
  const child = spawn(process.execPath, [kServer, "--folder", folder, "--port", "0", "--base", base], {
    stdio: ["ignore", "pipe", "inherit"],
    env: { ...process.env, FOUR76_OPEN: "" },
  });
  running.add(child);
  child.on("exit", () => running.delete(child));
  const address = await new Promise((resolve, reject) => {
    let said = "";
    child.stdout.on("data", (text) => {
      said += text;
      const found = /http:\/\/localhost:\d+\/\S*/.exec(said);
      if (found && said.includes("\n")) resolve(found[0]);
    });
    child.on("exit", (code) => reject(new Error(`the server ended with ${code}`)));
  });
  const ended = new Promise((resolve) => child.on("exit", resolve));
  return {
    address,
    async stop() {
      child.kill();
      await ended;
    },
  };
}
