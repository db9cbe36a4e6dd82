// Offline: the service worker. A newer version waits until it is taken; nothing reloads by itself.
import { catalogue_file } from "./words.js";

export class Offline {
  #ready;
  /** @type {ServiceWorkerRegistration | undefined} */
  #registration;
  #taking = false;

  /** @param {() => void} ready */
  constructor(ready) {
    this.#ready = ready;
  }

  async start() {
    const workers = navigator.serviceWorker;
    if (!workers) return;
    let kept = Boolean(workers.controller); // by the version that this page is of
    workers.addEventListener("controllerchange", () => {
      if (this.#taking) location.reload();
      else if (kept) this.#ready(); // taken in another tab: what this one has not loaded yet is not kept any more
      kept = true;
    });
    /** @type {ServiceWorkerRegistration} */
    let registration;
    try {
      registration = await workers.register("service_worker.js", { updateViaCache: "none" });
    } catch {
      return; // without it the page works while the network is there
    }
    if (catalogue_file) workers.ready.then(({ active }) => active?.postMessage({ words: catalogue_file }));
    this.#registration = registration;
    if (registration.waiting && workers.controller) this.#ready();
    registration.addEventListener("updatefound", () => {
      const coming = registration.installing;
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
