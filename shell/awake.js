// Awake: keeps the screen on while somebody measures with both hands busy. A courtesy: where it cannot be had, nothing.
export class Awake {
  #wanted = false;
  #lock;

  constructor() {
    document.addEventListener("visibilitychange", () => this.#apply());
  }
  keep(on) {
    this.#wanted = on;
    this.#apply();
  }
  async #apply() {
    if (!this.#wanted) {
      this.#lock?.release().catch(() => {});
      this.#lock = undefined;
    } else if (document.visibilityState === "visible" && (!this.#lock || this.#lock.released)) {
      this.#lock = await navigator.wakeLock?.request("screen").catch(() => undefined);
      if (!this.#wanted) this.#apply();
    }
  }
}
