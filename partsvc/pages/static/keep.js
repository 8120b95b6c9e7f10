// What this device keeps until the service has it: acts in their order, with their photos.
//
// IndexedDB survives a reload, a crash and an empty battery. An act counts as kept only when its
// transaction is durable; nothing is shown as kept before.

const NAME = "partsvc";
let opened = null;

function database() {
  opened ??= new Promise((done, failed) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("acts", { keyPath: "n", autoIncrement: true });
      asked.result.createObjectStore("facts");
    };
    asked.onsuccess = () => {
      // A newer page of this device may want another form of the database: it is let go.
      asked.result.onversionchange = () => { asked.result.close(); opened = null; };
      asked.result.onclose = () => { opened = null; };
      done(asked.result);
    };
    asked.onerror = () => { opened = null; failed(asked.error); };
    asked.onblocked = () => { opened = null; failed(new Error("another page holds the database")); };
  });
  return opened;
}

/** Do something in one durable transaction; answers what `work` answered, once it is safe. */
async function within(stores, mode, work) {
  const db = await database();
  return new Promise((done, failed) => {
    const transaction = db.transaction(stores, mode, { durability: "strict" });
    let answer;
    transaction.oncomplete = () => done(answer && "result" in answer ? answer.result : answer);
    transaction.onerror = () => failed(transaction.error);
    transaction.onabort = () => failed(transaction.error);
    answer = work(transaction);
  });
}

/** Keep an act; answers its place in the queue. The next number of this device goes along. */
export function add(record) {
  return within(["acts", "facts"], "readwrite", (transaction) => {
    const box = {};
    addTo(transaction, record, box);
    return box;
  });
}

function addTo(transaction, record, box) {
  const facts = transaction.objectStore("facts");
  facts.get("device_seq").onsuccess = (found) => {
    const next = (found.target.result ?? 0) + 1;
    facts.put(next, "device_seq");
    record.act.device_seq = next;
    transaction.objectStore("acts").add(record).onsuccess = (added) => {
      box.result = added.target.result;
    };
  };
}

/** One act in place of another, both or neither; null when another page had decided already. */
export function replace(n, record) {
  return within(["acts", "facts"], "readwrite", (transaction) => {
    const box = { result: null };
    const acts = transaction.objectStore("acts");
    acts.get(n).onsuccess = (found) => {
      if (!found.target.result) return;
      acts.delete(n);
      addTo(transaction, record, box);
    };
    return box;
  });
}

/** All that waits, in order. */
export function all() {
  return within(["acts"], "readonly", (transaction) => transaction.objectStore("acts").getAll());
}

/** Write a waiting act anew: refused, or with its photo sent. */
export function put(record) {
  return within(["acts"], "readwrite", (transaction) => {
    const acts = transaction.objectStore("acts");
    // What was decided meanwhile, here or in another page, does not come back.
    acts.get(record.n).onsuccess = (found) => { if (found.target.result) acts.put(record); };
    return { result: undefined };
  });
}

/** The service has them, or they were dropped. */
export function remove(numbers) {
  return within(["acts"], "readwrite", (transaction) => {
    for (const n of numbers) transaction.objectStore("acts").delete(n);
    return { result: undefined };
  });
}

/** Take the turn to send for a few seconds; false when another page of this device has it. */
export function takeTurn(who, ms) {
  return within(["facts"], "readwrite", (transaction) => {
    const facts = transaction.objectStore("facts");
    const box = { result: false };
    facts.get("turn").onsuccess = (found) => {
      const turn = found.target.result;
      if (turn && turn.who !== who && turn.until > Date.now()) return;
      facts.put({ who, until: Date.now() + ms }, "turn");
      box.result = true;
    };
    return box;
  });
}

/** Give the turn back. */
export function endTurn(who) {
  return within(["facts"], "readwrite", (transaction) => {
    const facts = transaction.objectStore("facts");
    facts.get("turn").onsuccess = (found) => {
      if (found.target.result?.who === who) facts.delete("turn");
    };
    return { result: undefined };
  });
}
