// Sends what waits: in order, in batches, each act by its own key, so that sending twice is harmless.
//
// Tells the page by events on `document`:
//   partsvc:queue     {acts}              what waits changed
//   partsvc:recorded  {record, answer}    the service has an act
//   partsvc:refused   {record}            an act was refused; it stays until somebody decides
//   partsvc:line      {state}             good, gone, or signed-out

import * as keep from "./keep.js";
import { newKey } from "./ids.js";

const MOST_AT_ONCE = 50;
let atOnce = MOST_AT_ONCE;
// A page that was closed in the middle holds the others up for no longer than this.
const TURN_MS = 8000;
const SLOWEST_MS = 5000;
const me = newKey();
let state = "asking";
let offset = 0;
let sending = false;
let again = false;
let wait = 500;
let timer = 0;

const tell = (name, detail) => document.dispatchEvent(new CustomEvent(`partsvc:${name}`, { detail }));

/** Whether the service was there when it was last asked: asking, good, gone or signed-out. */
export const line = () => state;

/** The line turned out good or gone; with it, how far this device's clock is from the service's. */
export function noteLine(now, date = "") {
  const served = Date.parse(date);
  if (!Number.isNaN(served)) offset = Math.abs(served - Date.now()) > 2000 ? served - Date.now() : 0;
  if (now === state) return;
  state = now;
  tell("line", { state });
  if (now === "good") soon(0);
}

/** How far this device's clock is off, in milliseconds to be added; 0 when within two seconds. */
export const clockOffset = () => Math.max(-86400000, Math.min(86400000, Math.round(offset)));

/** A request of this page to its own service; notes how the line is. */
export async function ask(path, how = {}) {
  try {
    const answer = await fetch(path, {
      ...how, headers: { "X-Partsvc-Page": "1", ...how.headers }, credentials: "same-origin",
      redirect: "manual",
    });
    const lost = answer.type === "opaqueredirect" || answer.status === 401;
    noteLine(lost ? "signed-out" : "good", answer.headers.get("Date") ?? "");
    return answer;
  } catch (gone) {
    noteLine("gone");
    throw gone;
  }
}

/** Sentences of the service in the reader's language; as they are when the line is gone. */
export async function inWords(texts) {
  if (document.body.dataset.language === "en" || !texts.some(Boolean)) return texts;
  try {
    const asked = texts.map((one) => `text=${encodeURIComponent(one)}`).join("&");
    const answered = await ask(`/said?${asked}`);
    return answered.ok ? await answered.json() : texts;
  } catch (gone) {
    console.info("not translated:", gone.message);
    return texts;
  }
}

/** Keep an act and send it; answers when it is kept, and rejects when this device cannot keep it.
 *
 * With `instead`, the number of a waiting act, it takes that one's place, both or neither. */
export async function hand(record, instead = null) {
  const waiting = await keep.all();
  record.state = "waiting";
  record.act.key ??= newKey();
  record.act.done_at ??= new Date().toISOString();
  if (clockOffset()) record.act.clock_offset_ms = clockOffset();
  if (state !== "good" || navigator.onLine === false || waiting.length) record.act.queued = true;
  const n = instead === null ? await keep.add(record) : await keep.replace(instead, record);
  // Another page of this device has decided on the same refused act before.
  if (n === null) return record;
  record.n = n;
  await changed();
  soon(0);
  return record;
}

/** What waits or was refused, in order. */
export const waiting = () => keep.all();

/** Take an act back that the service does not have. */
export async function drop(record) {
  await keep.remove([record.n]);
  await changed();
}

// The other pages of this device show the same queue.
const others = new BroadcastChannel("partsvc-queue");
others.onmessage = async () => tell("queue", { acts: await keep.all() });

async function changed() {
  tell("queue", { acts: await keep.all() });
  others.postMessage("changed");
}

/** Send soon; now if `ms` is 0. */
export function soon(ms = wait) {
  clearTimeout(timer);
  timer = setTimeout(send, ms);
}

/** Begin: what an earlier page left is sent first. */
export function start() {
  window.addEventListener("online", () => soon(0));
  window.addEventListener("offline", () => noteLine("gone"));
  document.addEventListener("visibilitychange", () => { if (!document.hidden) soon(0); });
  changed();
  ask("/live/now").then(() => soon(0), () => soon());
}

async function send() {
  if (sending) { again = true; return; }
  sending = true;
  try {
    let went = true;
    while (went) {
      if (!(await keep.takeTurn(me, TURN_MS))) { soon(700); return; }
      went = await sendSome();
    }
    await keep.endTurn(me);
  } catch (why) {
    console.info("not sent:", why);
    await keep.endTurn(me);
    wait = Math.min(SLOWEST_MS, wait * 2);
    soon();
  } finally {
    sending = false;
    if (again) { again = false; soon(0); }
  }
}

/** One batch of one account; false when nothing is left to send, or not now. */
async function sendSome() {
  const acts = (await keep.all()).filter((one) => one.state === "waiting");
  if (!acts.length) {
    // Nothing to send tells nothing of the line: while it is thought gone, it is asked for.
    if (state === "gone") await ask("/live/now");
    return false;
  }
  const account = acts[0].account;
  const batch = [];
  for (const one of acts) {
    if (one.account !== account || batch.length === atOnce) break;
    if (one.photos?.length && !(await sendPhotos(one))) {
      // A photo that is refused holds nothing else up; without a line all of it waits.
      if (state !== "good") return false;
      if (!batch.length) return true;
      break;
    }
    batch.push(one);
  }
  if (state !== "good") {
    // Asked for first: what was never under way can simply be taken back.
    await ask("/live/now");
    if (state !== "good") return false;
  }
  for (const one of batch) {
    if (one.tried) continue;
    one.tried = true;
    await keep.put(one);
  }
  const path = account === "workshop" ? "/api/v1/workshop/acts" : `/api/v1/jobs/${account}/acts`;
  const answered = await ask(path, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ acts: batch.map((one) => one.act) }),
  });
  if (state !== "good") return false;
  if (answered.status === 503 || answered.status >= 500) throw new Error(`answered ${answered.status}`);
  const body = await answered.json();
  wait = 500;
  if (!answered.ok) {
    // The batch as a whole: an account that is not there, or a body that cannot be read.
    // One by one it turns out which it was.
    if (batch.length > 1) atOnce = 1;
    else for (const one of batch) await refused(one, body);
    return true;
  }
  atOnce = MOST_AT_ONCE;
  let busy = false;
  const there = [];
  for (const [at, item] of body.acts.entries()) {
    const record = batch[at];
    if (item.status === 200 || item.status === 201) there.push([record, item.answer]);
    else if (item.status === 424) busy = busy || !(await heldBack(record, body.acts, batch));
    else if (item.problem.code === "in-progress" || item.status >= 500) busy = true;
    else await refused(record, item.problem);
  }
  await keep.remove(there.map(([record]) => record.n));
  await changed();
  for (const [record, answer] of there) tell("recorded", { record, answer });
  if (busy) throw new Error("some are busy");
  return true;
}

/** An act that builds on a refused one goes with it, and is told why. */
async function heldBack(record, items, batch) {
  const held = items[batch.indexOf(record)];
  const cause = items.find((one) => one.key === held.held_by);
  if (!cause?.problem || cause.problem.code === "in-progress") return false;
  await refused(record, { ...cause.problem, held: true });
  return true;
}

async function refused(record, problem) {
  record.state = "refused";
  record.problem = problem;
  await keep.put(record);
  await changed();
  tell("refused", { record });
}

async function sendPhotos(record) {
  while (record.photos.length) {
    const [photo] = record.photos;
    const answered = await ask("/api/v1/photos", {
      method: "POST", headers: { "Content-Type": photo.type }, body: photo,
    });
    if (state !== "good") return false;
    if (answered.status >= 500) throw new Error(`answered ${answered.status}`);
    if (!answered.ok) {
      await refused(record, await answered.json());
      return false;
    }
    const { hash } = await answered.json();
    record.act.photos = [...(record.act.photos ?? []), hash];
    record.photos.shift();
    await keep.put(record);
  }
  return true;
}

/** The refused act again, as already done: a new act that puts the refused one right. */
export async function handAlready(record, reason) {
  await handInstead(record, { ...record.act, already_done: { reason } });
}

/** Another act in place of a refused one; `told` is what stands beside it, as the refused one had it. */
export async function handInstead(record, act, told = {}) {
  const next = { ...act, key: newKey() };
  delete next.queued;
  delete next.device_seq;
  if (record.act.queued) next.amends = record.act.key;
  else delete next.amends;
  return hand({
    photos: record.photos ?? [], says: record.says, where: record.where, ...told,
    account: record.account, act: next,
  }, record.n);
}

/** The refused act was not so. What the service kept of it is dismissed there, too. */
export async function dismiss(record, reason) {
  if (record.act.queued && record.account !== "workshop" && !record.problem?.held) {
    await hand({
      account: record.account, says: "", where: "", photos: [],
      act: { kind: "dismiss", refused: record.act.key, reason },
    }, record.n);
  } else await keep.remove([record.n]);
  await changed();
}
