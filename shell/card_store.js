// CardStore: the cards of the machines and the tapes, on this device, in IndexedDB. One record a card, as in a cards file
// (core/records/card). Where the browser keeps nothing they last as long as the page, and that is said.
//
// A version of the database is a step in kSteps, run once on each device, in order: an older page's cards become a newer
// one's. What cannot be read is never thrown away: it goes to "aside".
/** @import {DBSchema, IDBPDatabase, IDBPTransaction} from "idb" */
/** @import {Aside, Broken, Card, CardsState, KnownTape, RecordStore} from "./types" */
import { openDB } from "idb";
import { error_of } from "./errors.js";

/**
 * @typedef {DBSchema & {
 *   cards: {key: string, value: Card},
 *   tapes: {key: string, value: KnownTape},
 *   aside: {key: number, value: Aside},
 * }} Schema
 * @typedef {RecordStore | "aside"} Kind
 */

const kName = "four76";
/** @type {Kind[]} */
const kKinds = ["cards", "tapes", "aside"];
/** @type {((database: IDBPDatabase<Schema>) => void)[]} */
const kSteps = [
  (database) => {
    database.createObjectStore("cards", { keyPath: "id" });
    database.createObjectStore("tapes", { keyPath: "id" });
    database.createObjectStore("aside", { autoIncrement: true });
  },
];

const is_same = (/** @type {unknown} */ a, /** @type {unknown} */ b) => JSON.stringify(a) === JSON.stringify(b);

/**
 * @typedef {object} Places where records are, on the device or in memory
 * @property {(store: RecordStore, id: string) => unknown} get
 * @property {(store: RecordStore, record: Card | KnownTape) => unknown} put
 * @property {(store: RecordStore, id: string) => unknown} remove
 * @property {(entry: Aside) => unknown} add
 */
// Moves what is broken out of its place. Nothing is moved where the record has changed since it was judged: another page
// has been there, and the next reading judges anew.
/** @param {Broken[]} broken @param {Places} places */
async function move_aside(broken, { get, put, remove, add }) {
  for (const { store, record, visits } of broken) {
    if (!is_same(await get(store, record.id), record)) continue;
    const own = "visits" in record ? record.visits : [];
    const card = { id: record.id, name: record.name };
    for (const { visit, ...entry } of visits) {
      await add({ ...entry, ...(visit === undefined ? { record } : { record: own[visit], card }) });
    }
    const moved = new Set(visits.map(({ visit }) => visit));
    if (moved.has(undefined)) await remove(store, record.id);
    else await put(store, { ...record, visits: own.filter((_, i) => !moved.has(i)) });
  }
}

export class CardStore {
  /** @type {Promise<IDBPDatabase<Schema> | undefined> | undefined} */
  #opened;
  /** @type {{[Name in Kind]: Map<Schema[Name]["key"], Schema[Name]["value"]>}} */
  #memory = { cards: new Map(), tapes: new Map(), aside: new Map() };
  #aside_count = 0;
  /** @type {Promise<unknown>} */
  #moving = Promise.resolve();
  #tell;

  /** @param {(state: CardsState) => void} tell */
  constructor(tell) {
    this.#tell = tell;
  }

  /** @template {Kind} Name @param {Name} kind @returns {Promise<Schema[Name]["value"][]>} */
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
  /** @param {RecordStore} kind @returns {Map<string, Card | KnownTape>} */
  #records(kind) {
    return this.#memory[kind];
  }

  // One record, made from what is there at that moment: two pages may be open.
  /** @param {"cards"} kind @param {string} id @param {(there: Card | undefined) => Card | undefined} made_from */
  async change(kind, id, made_from) {
    return this.#write([kind], async (transaction) => {
      const store = transaction.objectStore(kind);
      const made = made_from(await store.get(id));
      if (made) await store.put(made);
      return made;
    }, () => {
      const made = made_from(structuredClone(this.#memory[kind].get(id)));
      if (made) this.#memory[kind].set(id, made);
      return made;
    });
  }
  /** @param {RecordStore} kind @param {(Card | KnownTape)[]} records */
  put_all(kind, records) {
    return this.#write([kind], async (transaction) => {
      await Promise.all(records.map((record) => transaction.objectStore(kind).put(record)));
    }, () => records.forEach((record) => this.#records(kind).set(record.id, record)));
  }
  /** @param {RecordStore} kind @param {string} id */
  remove(kind, id) {
    return this.#write([kind], (transaction) => transaction.objectStore(kind).delete(id),
      () => void this.#memory[kind].delete(id));
  }
  // Each of `broken` is {store, record, visits}: a record as it was read, and what is broken in it, {what, why, time, kind},
  // with the place of a visit where it is not the whole record. One after the other: two readings may find the same.
  /** @param {Broken[]} broken */
  set_aside(broken) {
    const move = () => this.#move_aside(broken);
    return (this.#moving = this.#moving.then(move, move));
  }
  /** @param {Broken[]} broken */
  #move_aside(broken) {
    return this.#write(kKinds, (transaction) => move_aside(broken, {
      get: (store, id) => transaction.objectStore(store).get(id),
      put: (store, record) => transaction.objectStore(store).put(record),
      remove: (store, id) => transaction.objectStore(store).delete(id),
      add: (entry) => transaction.objectStore("aside").add(entry),
    }), () => move_aside(broken, {
      get: (store, id) => this.#memory[store].get(id),
      put: (store, record) => this.#records(store).set(record.id, record),
      remove: (store, id) => this.#memory[store].delete(id),
      add: (entry) => this.#memory.aside.set(++this.#aside_count, entry),
    }));
  }
  forget_aside() {
    return this.#write(["aside"], (transaction) => transaction.objectStore("aside").clear(),
      () => this.#memory.aside.clear());
  }

  // All of it or nothing; where the device has no room, or keeps nothing, into the page's memory.
  /**
   * @template Answer
   * @param {Kind[]} kinds
   * @param {(transaction: IDBPTransaction<Schema, Kind[], "readwrite">) => Promise<Answer>} stored
   * @param {() => Answer | Promise<Answer>} remembered
   */
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
  /** @returns {Promise<IDBPDatabase<Schema> | undefined>} */
  async #open() {
    try {
      /** @type {IDBPDatabase<Schema>} */
      const database = await openDB(kName, kSteps.length, {
        upgrade: (made, from) => kSteps.slice(from).forEach((step) => step(made)),
        blocking: (_, __, { target }) => {
          if (target instanceof IDBDatabase) target.close(); // another page is newer
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
  /** @param {IDBPDatabase<Schema>} database */
  async #remember(database) {
    for (const kind of /** @type {const} */ (["cards", "tapes"])) {
      const there = await database.getAll(kind).catch(() => []);
      for (const record of there) if (!this.#memory[kind].has(record.id)) this.#records(kind).set(record.id, record);
    }
    this.#opened = Promise.resolve(undefined);
  }
  /** @param {unknown} error */
  #refused(error) {
    console.warn("cards", error);
    this.#tell(error_of(error).name === "QuotaExceededError" ? "full" : "refused");
  }
}
