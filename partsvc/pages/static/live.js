// Keeps the page up to date: when something was recorded, here or on another device, the page is
// fetched anew and every part of it that changed (`data-live`, by its id) is put in place.
//
// A part in which somebody is typing is left alone, and says that it has changed.

import { answer } from "./answer.js";
import { ask, noteLine } from "./send.js";
import { say } from "./words.js";

const ASK_EVERY_MS = 2000;
const before = new Map();
let seen = "";
let timer = 0;
let fetching = false;
let again = false;

export function watchLive() {
  const parts = document.querySelectorAll("[data-live]");
  parts.forEach((one) => before.set(one.id, one.innerHTML));
  document.addEventListener("input", (event) => {
    const part = event.target.closest("[data-live]");
    // What a scan filled in is no typing.
    if (part && event.target.type !== "hidden" && !event.target.matches("[data-scan]")) part.dataset.typing = "yes";
  });
  document.addEventListener("partsvc:kept", (event) => {
    const part = event.target.closest?.("[data-live]") ?? document.getElementById(event.detail.record.where);
    if (part) delete part.dataset.typing;
  });
  document.addEventListener("partsvc:recorded", () => refresh());
  listen();
}

function listen() {
  const job = document.body.dataset.job ?? "";
  const stream = new EventSource(`/live?job=${job}`);
  stream.addEventListener("heads", (event) => {
    // What was on its way when the line went says nothing of the line now.
    if (navigator.onLine !== false) noteLine("good");
    heads(event.data);
  });
  stream.addEventListener("open", () => clearInterval(timer));
  stream.addEventListener("error", () => {
    // While the stream is away, or there is no room for it, the page asks.
    clearInterval(timer);
    timer = setInterval(poll, ASK_EVERY_MS);
    if (stream.readyState === EventSource.CLOSED) setTimeout(() => { stream.close(); listen(); }, 30000);
  });
  async function poll() {
    if (document.hidden) return;
    try {
      const answered = await ask(`/live/now?job=${job}`);
      if (answered.ok) heads(await answered.text());
    } catch (why) {
      console.info("no line:", why.message);
    }
  }
}

function heads(text) {
  const found = JSON.parse(text);
  const mine = document.body.dataset.job ? String(found.job) : String(found.all);
  const first = seen === "";
  if (mine === seen) return;
  seen = mine;
  if (first && document.body.dataset.job && mine === document.body.dataset.seq) return;
  refresh();
}

/** Whether a form in this part is half filled in by hand, though the finger is elsewhere now. */
function half(part) {
  const fields = part.querySelectorAll("form.act input:not([type=hidden]):not([data-scan]):not([data-remember]), form.act textarea");
  return [...fields].some((one) => one.checkVisibility() && !one.matches("[type=checkbox], [type=radio]") && one.value !== one.defaultValue);
}

/** Fetch the page anew and put in place what changed. */
export async function refresh() {
  if (!document.querySelector("[data-live]")) return;
  if (fetching) { again = true; return; }
  fetching = true;
  try {
    const answered = await ask(location.pathname + location.search);
    if (answered.ok) place(await answered.text());
  } catch (why) {
    console.info("not fetched:", why.message);
  } finally {
    fetching = false;
    if (again) { again = false; refresh(); }
  }
}

/** A part that was not there before stands behind the one it follows on the fresh page. */
function add(next) {
  const ahead = document.getElementById(next.previousElementSibling?.id ?? "");
  const around = document.getElementById(next.parentElement.id);
  if (!ahead && !around) return;
  before.set(next.id, next.innerHTML);
  if (ahead) ahead.after(next.cloneNode(true));
  else around.prepend(next.cloneNode(true));
}

function place(html) {
  const fresh = new DOMParser().parseFromString(html, "text/html");
  document.body.dataset.seq = fresh.body.dataset.seq ?? "";
  const tags = fresh.getElementById("tags");
  if (tags) document.getElementById("tags").textContent = tags.textContent;
  for (const next of fresh.querySelectorAll("[data-live]")) {
    const part = document.getElementById(next.id);
    if (!part) { add(next); continue; }
    if (before.get(next.id) === next.innerHTML) continue;
    if (part.dataset.typing && (part.contains(document.activeElement) || half(part))) {
      if (!part.dataset.changed) answer("warn", say("changed_meanwhile"), { word: say("show"), does: () => { delete part.dataset.typing; refresh(); } });
      part.dataset.changed = "yes";
      continue;
    }
    const focus = part.contains(document.activeElement) ? document.activeElement.id : "";
    const open = [...part.querySelectorAll("details[open][id]")].map((one) => one.id);
    before.set(next.id, next.innerHTML);
    part.innerHTML = next.innerHTML;
    for (const name of part.getAttributeNames()) {
      if (name.startsWith("data-") && !next.hasAttribute(name) && name !== "data-here") part.removeAttribute(name);
    }
    for (const { name, value } of next.attributes) {
      if (name !== "hidden" && name !== "class") part.setAttribute(name, value);
    }
    open.forEach((id) => { const one = document.getElementById(id); if (one) one.open = true; });
    if (focus) document.getElementById(focus)?.focus();
  }
  document.dispatchEvent(new CustomEvent("partsvc:placed"));
}
