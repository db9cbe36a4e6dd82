// Offline: the service worker. A newer version waits until it is taken; nothing reloads by itself.
import { catalogue_url } from "./words.js";

export class Offline {
  #ready;
  #registration;
  #taking = false;

  constructor(ready) {
    this.#ready = ready;
  }

  async start() {
    const workers = navigator.serviceWorker;
    if (!workers) return;
    workers.addEventListener("controllerchange", () => {
      if (this.#taking) location.reload();
    });
    try {
      this.#registration = await workers.register("service_worker.js", { updateViaCache: "none" });
    } catch {
      return; // without it the page works while the network is there
    }
    if (catalogue_url) workers.ready.then(({ active }) => active.postMessage({ words: catalogue_url }));
    if (this.#registration.waiting && workers.controller) this.#ready();
    this.#registration.addEventListener("updatefound", () => {
      const coming = this.#registration.installing;
      coming?.addEventListener("statechange", () => {
        if (coming.state === "installed" && workers.controller) this.#ready();
      });
    });
  }

  take_update() {
    const waiting = this.#registration?.waiting;
    if (!waiting) {
      location.reload();
      return;
    }
    this.#taking = true;
    waiting.postMessage("take over");
  }
}
