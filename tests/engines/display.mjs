// A screen that nobody sees, for engines that draw only where there is one.
import { ready } from "./processes.mjs";

// Answers with what DISPLAY is to be; the server chooses a number that is free.
export async function start_display(processes) {
  const server = processes.start("Xvfb", ["-displayfd", "3", "-screen", "0", "1400x1000x24", "-nolisten", "tcp", "-noreset"], { stdio: ["pipe"] });
  let said = "";
  server.stdio[3].on("data", (text) => (said += text));
  await ready(server, "Xvfb", () => said.endsWith("\n"));
  return `:${said.trim()}`;
}
