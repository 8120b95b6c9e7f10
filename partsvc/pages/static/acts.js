// Forms that become acts: `data-act` is what is fixed, the fields are what is told.
//
// A field's name is its place in the act: `position`, `values[0].value`, `bags[]`. What is empty is
// left out. Whole numbers come from number fields; decimals stay text, as they were read.

import { answer, refuse } from "./answer.js";
import { small } from "./photos.js";
import { dismiss, hand, handAlready, handInstead, inWords, line } from "./send.js";
import { say } from "./words.js";

// What the service takes at most, less what stands around it.
const LARGEST_PHOTO = 11 * 1024 * 1024;
let last = null;
// Acts are kept in the order of the taps, also when one has to wait for its photo to be made small.
let turn = Promise.resolve();
// A refused act that the next one from its part of the page puts right.
let amended = null;

/** Who works at this device now: the person signed in, or the one whose badge was scanned. */
export function worker() {
  const signedIn = document.body.dataset.person;
  const found = JSON.parse(sessionStorage.getItem("worker") ?? "null");
  return found && found.signedIn === signedIn ? found : { person: signedIn, name: document.body.dataset.name };
}

/** Somebody's badge was scanned: what is recorded from now on is theirs. */
export function nowWorks(person, name) {
  const signedIn = document.body.dataset.person;
  sessionStorage.setItem("worker", JSON.stringify({ person, name, signedIn }));
  showWorker();
}

/** Somebody stands by whoever works here: said once, and true until another works here. */
function nowStandsBy(supervisor, supervisor_name) {
  sessionStorage.setItem("worker", JSON.stringify({
    ...worker(), signedIn: document.body.dataset.person, supervisor, supervisor_name,
  }));
  showWorker();
}

export function showWorker() {
  const now = worker();
  const shown = document.querySelector("#who .name");
  if (!shown) return;
  const name = now.person === document.body.dataset.person ? now.name : say("on_behalf", { name: now.name });
  shown.textContent = now.supervisor ? say("stood_by", { name, other: now.supervisor_name }) : name;
}

/** The act of a form, its fields put in. */
export function actOf(form) {
  const act = JSON.parse(form.dataset.act || "{}");
  for (const field of form.elements) {
    if (!field.name || field.disabled || field.type === "file" || field.type === "submit") continue;
    if ((field.type === "checkbox" || field.type === "radio") && !field.checked) continue;
    const value = valueOf(field);
    if (value !== "") put(act, field.name, value);
  }
  return tidy(act);
}

function valueOf(field) {
  if (field.type === "checkbox") return field.value === "on" ? true : field.value;
  const text = field.value.trim();
  if (field.type === "number") return text === "" ? "" : Number(text);
  // A comma before the decimals is as good as a point.
  if (field.inputMode === "decimal") return text.replace(",", ".");
  if (field.dataset.type === "json") return text === "" ? "" : JSON.parse(text);
  return text;
}

function put(act, name, value) {
  const path = name.split(/[.[]/).map((one) => one.replace(/\]$/, ""));
  let at = act;
  path.slice(0, -1).forEach((key, n) => {
    const next = path[n + 1];
    at[key] ??= next === "" || /^\d+$/.test(next) ? [] : {};
    at = at[key];
  });
  const key = path.at(-1);
  if (Array.isArray(at) && key === "") at.push(value);
  else at[key] = value;
}

/** Rows of a list that were left empty fall out: a reading's name alone is no reading. */
function tidy(act) {
  for (const [name, value] of Object.entries(act)) {
    if (!Array.isArray(value)) continue;
    act[name] = value.filter((one) => one !== undefined && (typeof one !== "object" || one === null
      || !("name" in one) || "value" in one));
    if (!act[name].length) delete act[name];
  }
  return act;
}

export function watchForms() {
  showWorker();
  document.addEventListener("submit", (event) => {
    const form = event.target.closest("form.act");
    if (!form) return;
    event.preventDefault();
    give(form, event.submitter);
  });
  document.addEventListener("click", (event) => {
    const button = event.target.closest("button[data-act]");
    if (button && !button.form?.matches("form.act")) give(button, button);
  });
  document.addEventListener("partsvc:recorded", ({ detail }) => recorded(detail));
  document.addEventListener("partsvc:refused", ({ detail }) => show(detail.record));
  document.addEventListener("partsvc:amend", ({ detail }) => {
    amended = detail.record;
    answer("warn", say("amend_next", { says: amended.says }), { word: say("amend_not"), does: () => { amended = null; } });
  });
}

async function give(form, submitter) {
  const act = form.matches("form") ? actOf(form) : JSON.parse(form.dataset.act);
  if (submitter?.dataset.more) Object.assign(act, JSON.parse(submitter.dataset.more));
  if (form.matches("form") && form.querySelector("[data-scan][required]") && !form.querySelector("[data-scan][required]").value) {
    answer("warn", say("scan_bag_first"));
    return;
  }
  const button = submitter ?? form.querySelector("button");
  const files = [...form.querySelectorAll?.("input[type=file]") ?? []].flatMap((one) => [...one.files]);
  const told = {
    account: form.dataset.account,
    act: { ...act, done_at: new Date().toISOString() },
    says: submitter?.dataset.says || form.dataset.says || submitter?.textContent.trim() || act.kind,
    where: form.dataset.where ?? form.closest("[data-live]")?.id ?? "",
    goes: form.dataset.goes ?? "",
    finishes: "finishes" in form.dataset,
  };
  if (button) button.disabled = true;
  turn = turn.then(async () => {
    try {
      await tell({ ...told, photos: await Promise.all(files.map(light)) }, form);
      form.reset?.();
    } catch (why) {
      console.error("not kept:", why);
      answer("stop", why.message === say("photo_large") ? why.message : say("not_kept"));
    } finally {
      if (button) button.disabled = false;
    }
  });
  await turn;
}

/** Keep an act of whoever works here now and send it; `from` is what was tapped, if anything was. */
export async function tell(told, from = document) {
  const record = { account: document.body.dataset.job, photos: [], where: "", goes: "", ...told };
  record.account ||= document.body.dataset.job;
  const now = worker();
  // Always said: when it is sent, another person may be signed in on this device.
  record.act.by ??= now.person;
  if (now.supervisor) record.act.supervised_by ??= now.supervisor;
  const instead = amended && (!amended.where || amended.where === record.where) ? amended : null;
  amended = instead ? null : amended;
  last = instead ? await handInstead(instead, record.act, record) : await hand(record);
  from.dispatchEvent(new CustomEvent("partsvc:kept", { bubbles: true, detail: { record: last } }));
  if (line() !== "good") answer("kept", `${record.says}. ${say("kept")}`);
  return last;
}

/** A photo light enough for a bad line; one that this browser cannot draw goes as it is. */
async function light(photo) {
  try {
    return await small(photo);
  } catch (why) {
    console.info("sent as it is:", why.message);
    if (photo.size > LARGEST_PHOTO) throw new Error(say("photo_large"));
    return photo;
  }
}

async function recorded({ record, answer: told }) {
  const warnings = await inWords(told?.warnings ?? []);
  // Of many acts by one tap only the last one speaks, and those that have something to warn of.
  if (!record.says || (record.quiet && !warnings.length)) return;
  const text = [`${record.says}.`, ...warnings].join(" ");
  answer(warnings.length ? "warn" : "good", warnings.length ? text : `${record.says}. ${say("recorded")}`);
  if (record.goes) location.assign(record.goes);
}

/** A refused act in the middle of the screen; what the person decides is done. */
export async function show(record) {
  const { title = "", detail = "" } = record.problem ?? {};
  const [called, why] = await inWords([title, detail]);
  refuse({ ...record, problem: { ...record.problem, title: called, detail: why } }, {
    already: (reason) => handAlready(record, reason),
    supervised: (person, name) => {
      nowStandsBy(person, name);
      handInstead(record, { ...record.act, supervised_by: person });
    },
    amend: () => document.dispatchEvent(new CustomEvent("partsvc:amend", { detail: { record } })),
    // What was queued stays on the list until it is put right or dropped; what was just tried is gone.
    leave: () => { if (!record.act.queued) dismiss(record, ""); },
  });
}
