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
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
  return opened;
}

/** Do something in one durable transaction; answers what `work` answered, once it is safe. */
async function within(stores, mode, work) {
  const db = await database();
  return new Promise((done, failed) => {
    const transaction = db.transaction(stores, mode, { durability: "strict" });
    let answer;
    transaction.oncomplete = () => done(answer?.result ?? answer);
    transaction.onerror = () => failed(transaction.error);
    transaction.onabort = () => failed(transaction.error);
    answer = work(transaction);
  });
}

/** Keep an act; answers its place in the queue. The next number of this device goes along. */
export function add(record) {
  return within(["acts", "facts"], "readwrite", (transaction) => {
    const facts = transaction.objectStore("facts");
    const box = {};
    facts.get("device_seq").onsuccess = (found) => {
      const next = (found.target.result ?? 0) + 1;
      facts.put(next, "device_seq");
      record.act.device_seq = next;
      transaction.objectStore("acts").add(record).onsuccess = (added) => {
        box.result = added.target.result;
      };
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
  return within(["acts"], "readwrite", (transaction) => transaction.objectStore("acts").put(record));
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
