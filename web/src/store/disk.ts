/**
 * What this device keeps: one IndexedDB database, opened anew whenever its handle has died.
 *
 * A write answers only when its transaction has ended; until then nobody says "saved".
 * Not here: what the rows mean (outbox.ts, visits.ts), and any request to the server.
 */

const NAME = "canalclock";
const VERSION = 1;
const OPEN_WITHIN_MS = 5000;

/** Rows and their keys: see the interfaces in shapes.ts. */
export type StoreName = "meta" | "outbox" | "sent" | "entries" | "heads" | "kits" | "tray";

const KEYS: { readonly [Name in StoreName]: string | string[] | null } = {
  meta: null,
  outbox: "device_seq",
  sent: "id",
  entries: ["visit", "seq"],
  heads: "visit",
  kits: null,
  tray: "id",
};

/** The device's store refused or did not answer; nothing of this write was kept. */
export class DiskFailed extends Error {
  override readonly name = "DiskFailed";
}

let opened: Promise<IDBDatabase> | null = null;

/** Forget the handle, as after the system has severed it. */
export function forgetHandle(): void {
  const last = opened;
  opened = null;
  last?.then((database) => database.close()).catch(() => undefined);
}

/**
 * Run `act` in one transaction over `names`; what it answers is handed on once all is durable.
 *
 * Raises:
 *   DiskFailed: no database, no room, a dead handle twice, or `act` failed. Nothing was written.
 */
export async function inTransaction<Answer>(
  names: readonly StoreName[],
  mode: IDBTransactionMode,
  act: (stores: (name: StoreName) => IDBObjectStore) => Promise<Answer>,
): Promise<Answer> {
  try {
    return await once(names, mode, act);
  } catch (failure) {
    if (!isDeadHandle(failure)) throw asDiskFailed(failure);
    forgetHandle();
  }
  try {
    return await once(names, mode, act);
  } catch (failure) {
    throw asDiskFailed(failure);
  }
}

/** The answer of one request inside a transaction. */
export function answerOf<Value>(request: IDBRequest<Value>): Promise<Value> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** All rows of a store, in the order of their keys. */
export function allOf<Row>(name: StoreName, range?: IDBKeyRange): Promise<Row[]> {
  return inTransaction([name], "readonly", (store) =>
    answerOf(store(name).getAll(range) as IDBRequest<Row[]>),
  );
}

export function metaOf<Value>(key: string): Promise<Value | undefined> {
  return inTransaction(["meta"], "readonly", (store) =>
    answerOf(store("meta").get(key) as IDBRequest<Value | undefined>),
  );
}

export function setMeta(key: string, value: unknown): Promise<void> {
  return inTransaction(["meta"], "readwrite", async (store) => {
    await answerOf(store("meta").put(value, key));
  });
}

async function once<Answer>(
  names: readonly StoreName[],
  mode: IDBTransactionMode,
  act: (stores: (name: StoreName) => IDBObjectStore) => Promise<Answer>,
): Promise<Answer> {
  const database = await handle();
  const transaction = database.transaction([...names], mode, {
    durability: mode === "readwrite" ? "strict" : "default",
  });
  const ended = endOf(transaction);
  ended.catch(() => undefined);
  let answer: Answer;
  try {
    answer = await act((name) => transaction.objectStore(name));
  } catch (failure) {
    abort(transaction);
    throw failure;
  }
  await ended;
  return answer;
}

function abort(transaction: IDBTransaction): void {
  try {
    transaction.abort();
  } catch {
    // it has ended by itself
  }
}

function endOf(transaction: IDBTransaction): Promise<void> {
  return new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error ?? new DiskFailed("aborted"));
    transaction.onerror = () => reject(transaction.error);
  });
}

function handle(): Promise<IDBDatabase> {
  if (opened === null) {
    const opening = open();
    opened = opening;
    opening.catch(() => {
      if (opened === opening) opened = null;
    });
  }
  return opened;
}

function open(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(new DiskFailed("the store did not open")), OPEN_WITHIN_MS);
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => {
      for (const [name, keyPath] of Object.entries(KEYS)) {
        request.result.createObjectStore(name, keyPath === null ? {} : { keyPath });
      }
    };
    request.onsuccess = () => {
      clearTimeout(late);
      request.result.onclose = () => forgetHandle();
      request.result.onversionchange = () => forgetHandle();
      resolve(request.result);
    };
    request.onerror = () => {
      clearTimeout(late);
      reject(request.error);
    };
  });
}

function isDeadHandle(failure: unknown): boolean {
  return failure instanceof DOMException && failure.name === "InvalidStateError";
}

/** The store's own failures become ours; what `act` threw stays what it is. */
function asDiskFailed(failure: unknown): unknown {
  if (!(failure instanceof DOMException) && failure !== null && failure !== undefined)
    return failure;
  const words = failure instanceof DOMException ? `${failure.name}: ${failure.message}` : "failed";
  return new DiskFailed(words, { cause: failure });
}
