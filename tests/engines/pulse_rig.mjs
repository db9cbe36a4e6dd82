// PulseRig: a sound server of this run's own, whose one source is what was played to its one sink. Every engine hears the
// same samples so, by the way that a microphone's take.
import { existsSync, mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { ready } from "./processes.mjs";

export const kRigHz = 48_000;
const kAheadMs = 1000; // of sound that waits in the server, for a computer that is busy

// Two channels, interleaved as floats; one alone is played on both.
function interleaved([left, right = left]) {
  const frames = new Float32Array(2 * left.length);
  for (let i = 0; i < left.length; ++i) {
    frames[2 * i] = left[i];
    frames[2 * i + 1] = right[i];
  }
  return Buffer.from(frames.buffer);
}

export class PulseRig {
  #processes;
  #server;
  #players = [];

  constructor(processes, folder) {
    this.#processes = processes;
    this.folder = join(folder, "pulse");
    this.socket = join(this.folder, "native");
    this.env = { PULSE_SERVER: `unix:${this.socket}`, PULSE_CONFIG: join(this.folder, "daemon.conf") };
  }

  async start() {
    mkdirSync(this.folder, { recursive: true, mode: 0o700 });
    writeFileSync(this.env.PULSE_CONFIG, `default-sample-rate = ${kRigHz}\ndefault-sample-format = float32le\n`);
    const script = join(this.folder, "rig.pa");
    writeFileSync(script, [
      `load-module module-native-protocol-unix socket=${this.socket} auth-anonymous=1`,
      `load-module module-null-sink sink_name=tape rate=${kRigHz} channels=2 format=float32le`,
      "set-default-sink tape",
      "load-module module-remap-source source_name=microphone master=tape.monitor remix=no", // WebKit leaves monitors out
      "set-default-source microphone",
    ].join("\n"));
    const quiet = ["--daemonize=no", "--use-pid-file=no", "--exit-idle-time=-1", "--disallow-exit", "--log-target=stderr", "--log-level=error"];
    this.#server = this.#processes.start("pulseaudio", ["-n", ...quiet, "-F", script], {
      env: { ...this.env, HOME: this.folder, XDG_RUNTIME_DIR: this.folder, XDG_CONFIG_HOME: this.folder },
    });
    await ready(this.#server, "pulseaudio", () => existsSync(this.socket));
  }

  // Plays channels (see tests/browser/sound.mjs) from now on; `loop` for ever, otherwise silence follows.
  play(channels, { loop = true } = {}) {
    const sound = interleaved(channels);
    const player = this.#processes.start("pacat", ["--playback", "--raw", "--format=float32le", `--rate=${kRigHz}`, "--channels=2", `--latency-msec=${kAheadMs}`], { env: this.env });
    this.#players.push(player);
    const feed = () => {
      player.stdin.write(sound, (error) => {
        if (error) return;
        if (loop) feed();
        else player.stdin.end();
      });
    };
    feed();
  }
  async silence() {
    for (const player of this.#players.splice(0)) await this.#processes.end(player);
  }
}
