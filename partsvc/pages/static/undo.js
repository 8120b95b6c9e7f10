// The last act of this device undone: taken back while it still waits here, else reversed with a reason.
//
// Needs `_undo.html`. What was done here is remembered until the tab is closed, so that a reload
// takes nothing away; each undoing uncovers the one before.

import { tell } from "./acts.js";
import { answer } from "./answer.js";
import { drop, line, waiting } from "./send.js";
import { say } from "./words.js";

const MOST = 30;
const NEVER = new Set(["reverse", "dismiss"]);
const dropped = new Map();

const shelf = () => `done:${document.body.dataset.job}`;
const done = () => JSON.parse(sessionStorage.getItem(shelf()) ?? "[]");
const keepDone = (list) => sessionStorage.setItem(shelf(), JSON.stringify(list.slice(-MOST)));

export function watchUndo() {
  const button = document.getElementById("undo");
  const dialog = document.getElementById("undo-last");
  if (!button || !dialog) return;
  const paint = () => {
    const last = done().at(-1);
    button.disabled = !last;
    button.title = last?.says ?? "";
  };
  document.addEventListener("partsvc:kept", ({ detail }) => { note(detail.record); paint(); });
  document.addEventListener("partsvc:recorded", ({ detail }) => { recorded(detail.record); paint(); });
  document.addEventListener("partsvc:refused", ({ detail }) => { forget(detail.record); paint(); });
  button.addEventListener("click", async () => {
    const last = done().at(-1);
    if (!last) return;
    dialog.querySelector(".said").textContent = last.says;
    dialog.dataset.key = last.key;
    dialog.showModal();
  });
  dialog.querySelectorAll("[data-reason]").forEach((one) => one.addEventListener("click", async () => {
    dialog.close();
    await undo(dialog.dataset.key, one.dataset.reason);
    paint();
  }));
  paint();
}

function note(record) {
  if (NEVER.has(record.act.kind) || !record.says) return;
  const list = done().filter((one) => one.key !== record.act.key);
  keepDone([...list, { key: record.act.key, says: record.says, where: record.where, account: record.account }]);
}

function recorded(record) {
  // It was on its way already when it was taken back: what arrived is reversed.
  const reason = dropped.get(record.act.key);
  if (reason) {
    dropped.delete(record.act.key);
    reverse({ key: record.act.key, says: record.says, where: record.where, account: record.account }, reason);
  } else if (!done().some((one) => one.key === record.act.key)) note(record);
}

/** What was refused was not done, and what could not be undone still stands. */
function forget(record) {
  if (record.act.kind === "reverse" && record.undoes) keepDone([...done(), record.undoes]);
  else keepDone(done().filter((one) => one.key !== record.act.key));
}

async function undo(key, reason) {
  const list = done();
  const last = list.find((one) => one.key === key);
  if (!last) return;
  keepDone(list.filter((one) => one !== last));
  const here = (await waiting()).find((one) => one.act.key === key && one.state === "waiting");
  // What was once under way may have arrived, its answer lost: that is reversed, not taken back.
  if (here && !here.tried && line() !== "good") {
    dropped.set(key, reason);
    await drop(here);
    answer("good", `${say("undone")} ${last.says}`);
  } else await reverse(last, reason);
}

function reverse(last, reason) {
  return tell({
    account: last.account,
    act: { kind: "reverse", act: last.key, reason },
    says: `${say("undone")} ${last.says}`,
    where: last.where,
    undoes: last,
  });
}
