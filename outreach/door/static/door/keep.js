// What the device keeps, in IndexedDB: who it is (openings), the roster, and everything done here (events).
// A row of events is the event itself plus `state`: unsent, held, stored (named by the server, the roster is
// older), settled (the roster has it). Only unsent rows are owed to the server; only they stop a wipe.

const NAME = "loambook-door";
const VERSION = 1;
const STRICT = { durability: "strict" };

let connection = null;

export class StillUnsent extends Error {
  constructor(count) {
    super(`${count} unsent`);
    this.count = count;
  }
}

function database() {
  connection ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, VERSION);
    asked.onupgradeneeded = () => {
      const made = asked.result;
      made.createObjectStore("openings", { keyPath: "workshop" });
      made.createObjectStore("rosters", { keyPath: "workshop" });
      made.createObjectStore("events", { keyPath: "id" }).createIndex("in_order", ["workshop", "seq"]);
    };
    asked.onerror = () => reject(asked.error);
    asked.onsuccess = () => {
      // Another tab finishes and removes the database, or a newer version opens it.
      asked.result.onversionchange = () => forgetConnection(asked.result);
      asked.result.onclose = () => forgetConnection(asked.result);
      resolve(asked.result);
    };
  }).catch((error) => {
    connection = null;
    throw error;
  });
  return connection;
}

function forgetConnection(open) {
  open.close();
  connection = null;
}

async function transaction(stores, mode, work) {
  const open = await database();
  const running = open.transaction(stores, mode, mode === "readwrite" ? STRICT : undefined);
  const ended = new Promise((resolve, reject) => {
    running.oncomplete = resolve;
    running.onabort = () => reject(running.error ?? new Error("aborted"));
  });
  const result = Promise.resolve(work(running)).catch((error) => {
    try {
      running.abort();
    } catch {
      // It has ended by itself.
    }
    throw error;
  });
  const [value] = await Promise.all([result, ended]);
  return value;
}

const answered = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

const within = (workshop) => IDBKeyRange.bound([workshop], [workshop, []]);
const rowsOf = (running, workshop) =>
  answered(running.objectStore("events").index("in_order").getAll(within(workshop)));

export const openings = () => transaction(["openings"], "readonly", (t) => answered(t.objectStore("openings").getAll()));

/** Everything kept of one workshop: {opening, roster, rows}; rows in the order in which they were done. */
export function everything(workshop) {
  return transaction(["openings", "rosters", "events"], "readonly", async (t) => {
    const [opening, kept, rows] = await Promise.all([
      answered(t.objectStore("openings").get(workshop)),
      answered(t.objectStore("rosters").get(workshop)),
      rowsOf(t, workshop),
    ]);
    return { opening: opening ?? null, roster: kept?.roster ?? null, rows };
  });
}

/** A workshop is opened on this device; what an earlier opening has not sent goes on under the new one. */
export function saveOpening(opening) {
  return transaction(["openings"], "readwrite", async (t) => {
    const store = t.objectStore("openings");
    const earlier = await answered(store.get(opening.workshop));
    store.put({ live: null, etag: "", ended: "", ...opening, next_seq: earlier?.next_seq ?? 1 });
  });
}

export function changeOpening(workshop, changes) {
  return transaction(["openings"], "readwrite", async (t) => {
    const store = t.objectStore("openings");
    const found = await answered(store.get(workshop));
    if (found) store.put({ ...found, ...changes });
  });
}

/** Number an event and keep it, in one step: two tabs never take the same number. `make` is given (opening, seq). */
export function record(workshop, make) {
  return transaction(["openings", "events"], "readwrite", async (t) => {
    const opening = await answered(t.objectStore("openings").get(workshop));
    if (!opening || opening.ended) throw new Error("this device has no open workshop");
    const event = make(opening, opening.next_seq);
    t.objectStore("openings").put({ ...opening, next_seq: opening.next_seq + 1 });
    t.objectStore("events").add({ ...event, state: "unsent", words: "" });
    return event;
  });
}

/** Write down what the server said of each event it named. `answers` is {id: {state, words}}. */
export function noteAnswers(workshop, answers) {
  return transaction(["events"], "readwrite", async (t) => {
    const store = t.objectStore("events");
    let named = 0;
    for (const row of await rowsOf(t, workshop)) {
      const answer = answers[row.id];
      if (!["stored", "held"].includes(answer?.state)) continue;
      named += 1;
      if (row.state !== "settled") store.put({ ...row, state: answer.state, words: answer.words ?? "" });
    }
    return named;
  });
}

/** A roster that was fetched after these events were stored has them: only what undoing needs is kept of them. */
export function saveRoster(workshop, roster, storedBefore) {
  return transaction(["rosters", "events"], "readwrite", async (t) => {
    t.objectStore("rosters").put({ workshop, roster });
    await settle(t, workshop, storedBefore);
  });
}

/** The server says that the roster kept here is still as it was. */
export function rosterUnchanged(workshop, storedBefore) {
  return transaction(["events"], "readwrite", (t) => settle(t, workshop, storedBefore));
}

async function settle(t, workshop, storedBefore) {
  for (const row of await rowsOf(t, workshop)) {
    if (row.state !== "stored" || !storedBefore.has(row.id)) continue;
    const { email, phone, ...body } = row.body;
    t.objectStore("events").put({ ...row, body, state: "settled" });
  }
}

/** The pass has ended: the roster and what the server already has go; what is unsent stays, to be delivered. */
export function end(workshop, sentence) {
  return transaction(["openings", "rosters", "events"], "readwrite", async (t) => {
    const opening = await answered(t.objectStore("openings").get(workshop));
    const rows = await rowsOf(t, workshop);
    t.objectStore("rosters").delete(workshop);
    for (const row of rows) if (row.state !== "unsent") t.objectStore("events").delete(row.id);
    if (opening) t.objectStore("openings").put({ ...opening, ended: sentence || "ended", live: null, etag: "" });
  });
}

/** Take everything of a workshop off the device; refused, with nothing taken, while anything is unsent. */
export async function wipe(workshop) {
  await transaction(["openings", "rosters", "events"], "readwrite", async (t) => {
    const rows = await rowsOf(t, workshop);
    const unsent = rows.filter((row) => row.state === "unsent").length;
    if (unsent) throw new StillUnsent(unsent);
    t.objectStore("openings").delete(workshop);
    t.objectStore("rosters").delete(workshop);
    for (const row of rows) t.objectStore("events").delete(row.id);
  });
  if ((await openings()).length === 0) await removeDatabase();
}

// Also what the engine may still hold of deleted rows. Other tabs let go when they are told of the change.
async function removeDatabase() {
  forgetConnection(await database());
  await new Promise((resolve) => {
    const asked = indexedDB.deleteDatabase(NAME);
    asked.onsuccess = asked.onerror = asked.onblocked = resolve;
  });
}
