// Awake: keeps the screen on while somebody measures with both hands busy. A courtesy: where it cannot be had, `tell` hears
// "dark", and "on" where it can.
export class Awake {
  #tell;
  #wanted = false;
  /** @type {WakeLockSentinel | undefined} */
  #lock;
  #asks = false;   // one question at a time: of two locks one would be forgotten, and hold the screen for ever
  #again = false;  // something has changed since it was asked

  /** @param {(state: "dark" | "on") => void} tell */
  constructor(tell) {
    this.#tell = tell;
    document.addEventListener("visibilitychange", () => this.#apply());
  }
  /** @param {boolean} on */
  keep(on) {
    this.#wanted = on;
    this.#apply();
  }
  // A phone that saves its battery takes the lock back while the page is seen.
  #taken_back() {
    if (this.#wanted && document.visibilityState === "visible") this.#tell("dark");
  }
  async #apply() {
    this.#again = this.#asks;
    if (this.#asks) return;
    if (!this.#wanted) {
      this.#lock?.release().catch(() => {});
      this.#lock = undefined;
    } else if (document.visibilityState === "visible" && (!this.#lock || this.#lock.released)) {
      this.#asks = true;
      this.#lock = await navigator.wakeLock?.request("screen").catch(() => undefined);
      this.#asks = false;
      this.#lock?.addEventListener("release", () => this.#taken_back());
      if (this.#again) this.#apply();
      if (this.#wanted) this.#tell(this.#lock ? "on" : "dark");
    }
  }
}
