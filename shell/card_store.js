// CardStore: the cards of the machines and the tapes, on this device, in IndexedDB. One record a card, as in a cards file
// (core/records/card). Where the browser keeps nothing they last as long as the page, and that is said.
//
// A version of the database is a step in kSteps, run once on each device, in order: an older page's cards become a newer
// one's. What cannot be read is never thrown away: it goes to "aside".
import { openDB } from "idb";

const kName = "four76";
const kKinds = ["cards", "tapes", "aside"];
const kSteps = [
  (database) => {
    database.createObjectStore("cards", { keyPath: "id" });
    database.createObjectStore("tapes", { keyPath: "id" });
    database.createObjectStore("aside", { autoIncrement: true });
  },
];

const is_same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

// Moves what is broken out of its place. Nothing is moved where the record has changed since it was judged: another page
// has been there, and the next reading judges anew.
async function move_aside(broken, { get, put, remove, add }) {
  for (const { store, record, visits } of broken) {
    if (!is_same(await get(store, record.id), record)) continue;
    for (const { visit, ...entry } of visits) await add({ ...entry, ...(visit === undefined ? { record } : { record: record.visits[visit], card: { id: record.id, name: record.name } }) });
    const moved = new Set(visits.map(({ visit }) => visit));
    if (moved.has(undefined)) await remove(store, record.id);
    else await put(store, { ...record, visits: record.visits.filter((_, i) => !moved.has(i)) });
  }
}

export class CardStore {
  #opened;
  #memory = Object.fromEntries(kKinds.map((kind) => [kind, new Map()]));
  #aside_count = 0;
  #moving = Promise.resolve();
  #tell;

  // `tell` hears "kept", "refused" or "full".
  constructor(tell) {
    this.#tell = tell;
  }

  async all(kind) {
    const database = await this.#database();
    if (!database) return [...this.#memory[kind].values()];
    try {
      return await database.getAll(kind);
    } catch (error) {
      this.#refused(error);
      return [...this.#memory[kind].values()];
    }
  }

  // One record, made from what is there at that moment: two pages may be open.
  async change(kind, id, made_from) {
    return this.#write(kind, async ({ store }) => {
      const made = made_from(await store.get(id));
      if (made) await store.put(made);
      return made;
    }, () => {
      const made = made_from(structuredClone(this.#memory[kind].get(id)));
      if (made) this.#memory[kind].set(id, made);
      return made;
    });
  }
  put_all(kind, records) {
    return this.#write(kind, ({ store }) => Promise.all(records.map((record) => store.put(record))),
      () => records.forEach((record) => this.#memory[kind].set(record.id, record)));
  }
  remove(kind, id) {
    return this.#write(kind, ({ store }) => store.delete(id), () => this.#memory[kind].delete(id));
  }
  // Each of `broken` is {store, record, visits}: a record as it was read, and what is broken in it, {what, why, time, kind},
  // with the place of a visit where it is not the whole record. One after the other: two readings may find the same.
  set_aside(broken) {
    const move = () => this.#move_aside(broken);
    return (this.#moving = this.#moving.then(move, move));
  }
  #move_aside(broken) {
    return this.#write(kKinds, (transaction) => move_aside(broken, {
      get: (store, id) => transaction.objectStore(store).get(id),
      put: (store, record) => transaction.objectStore(store).put(record),
      remove: (store, id) => transaction.objectStore(store).delete(id),
      add: (entry) => transaction.objectStore("aside").add(entry),
    }), () => move_aside(broken, {
      get: (store, id) => this.#memory[store].get(id),
      put: (store, record) => this.#memory[store].set(record.id, record),
      remove: (store, id) => this.#memory[store].delete(id),
      add: (entry) => this.#memory.aside.set(++this.#aside_count, entry),
    }));
  }
  forget_aside() {
    return this.#write("aside", ({ store }) => store.clear(), () => this.#memory.aside.clear());
  }

  // All of it or nothing; where the device has no room, or keeps nothing, into the page's memory.
  async #write(kinds, stored, remembered) {
    const database = await this.#database();
    if (!database) return remembered();
    try {
      const transaction = database.transaction(kinds, "readwrite", { durability: "strict" });
      const [answer] = await Promise.all([stored(transaction), transaction.done]);
      this.#tell("kept");
      return answer;
    } catch (error) {
      await this.#remember(database);
      this.#refused(error);
      return remembered();
    }
  }
  #database() {
    this.#opened ??= this.#open();
    return this.#opened;
  }
  async #open() {
    try {
      const database = await openDB(kName, kSteps.length, {
        upgrade: (made, from) => kSteps.slice(from).forEach((step) => step(made)),
        blocking: (_, __, event) => {
          event.target.close(); // another page is newer
          this.#opened = undefined;
        },
        terminated: () => (this.#opened = undefined),
      });
      // A browser that is short of room then leaves this page's alone. Where it cannot say so, it keeps them all the same.
      navigator.storage?.persist?.().catch(() => {});
      return database;
    } catch (error) {
      this.#refused(error);
      return undefined;
    }
  }
  // What is there is read once more, so that the page goes on with all of it.
  async #remember(database) {
    for (const kind of ["cards", "tapes"]) {
      const there = await database.getAll(kind).catch(() => []);
      for (const record of there) if (!this.#memory[kind].has(record.id)) this.#memory[kind].set(record.id, record);
    }
    this.#opened = Promise.resolve(undefined);
  }
  #refused(error) {
    console.warn("cards", error);
    this.#tell(error?.name === "QuotaExceededError" ? "full" : "refused");
  }
}
