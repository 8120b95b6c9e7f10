// The bag just scanned: on every button that puts something into it, and stowed by the next rack scan.

import { answer } from "./answer.js";
import { tell } from "./acts.js";
import { codeOf, known, shown } from "./meaning.js";
import { current } from "./steps.js";

// The last bag scanned on this page; the one before the step was changed; the one scanned at this step.
let last = "";
let before = "";
let here = "";
// The position that the bag was made for.
let home = "";

export function watchBag() {
  document.addEventListener("partsvc:scan", ({ detail }) => guess(detail.text));
  document.addEventListener("partsvc:tag", ({ detail }) => took(detail.tag));
  document.addEventListener("partsvc:step", () => {
    before = last;
    // A bag scanned just now opened this step; what was scanned at another one is no longer meant.
    clear(document.querySelectorAll("#otherwise, #otherwise-step, #steps"));
    here = "";
    home = "";
  });
  document.addEventListener("partsvc:placed", () => { if (here) fill(current(), here); show(); });
  document.addEventListener("input", (event) => {
    if (!event.target.matches("input[data-scan=bag]")) return;
    if (event.target.value && current()?.contains(event.target)) here = event.target.value;
    show();
  });
  document.addEventListener("partsvc:kept", (event) => {
    // Each group has a bag of its own.
    if (event.target.id === "group") clear([event.target]);
    show();
  });
  document.addEventListener("click", (event) => {
    const same = event.target.closest("button[data-same-bag]");
    if (!same) return;
    here = last;
    fill(current(), last);
    show();
  });
  show();
}

/** A tag this page has never seen is a new bag, until a slow line has told otherwise: no waiting. */
function guess(text) {
  const code = codeOf(text);
  if (!code || known()[code]) return;
  last = shown(code);
  here = last;
  home = "";
  for (const field of document.querySelectorAll("input[data-scan=bag]")) {
    if (!field.closest("[hidden]")) field.value = last;
  }
  show();
}

function took(tag) {
  if (tag.is === "place") {
    if (last) stow(tag);
    return;
  }
  if (tag.is === "void" || tag.is === "other-job") {
    here = "";
    last = "";
    setTimeout(() => { clear([document]); show(); }, 0);
    answer("stop", [tag.shown, tag.words].filter(Boolean).join(" · "));
    return;
  }
  if (tag.is === "badge") return;
  last = tag.shown;
  here = tag.shown;
  home = tag.home ?? "";
  setTimeout(show, 0);
}

function stow(tag) {
  const texts = document.getElementById("step-nav").dataset;
  const said = texts.stowed.replace("{bag}", last).replace("{place}", tag.words || tag.shown);
  tell({ act: { kind: "stow", tags: [last], at_tag: tag.code }, says: said });
}

function fill(within, code) {
  within?.querySelectorAll("input[data-scan=bag]").forEach((field) => { if (!field.value) field.value = code; });
}

function clear(places) {
  places.forEach((place) => place.querySelectorAll("input[data-scan=bag]").forEach((field) => { field.value = ""; }));
}

/** A bag made for one position of the step takes that one's pieces first, and the rest on demand. */
function own() {
  for (const form of document.querySelectorAll("form[data-own-bag]")) {
    const places = [...form.closest("section").querySelectorAll("[data-otherwise]")].filter((one) => one.dataset.on > 0);
    const its = places.find((one) => one.dataset.otherwise === home);
    form.hidden = !its || places.length < 2 || form.closest("section") !== current();
    const all = form.closest("section").querySelector("form[data-all-off] button");
    all?.classList.toggle("main", form.hidden);
    if (form.hidden) continue;
    const { on, where } = its.dataset;
    form.querySelector("[name=position]").value = home;
    form.querySelector("[name=bag]").value = here;
    const text = form.dataset.label.replace("{n}", on).replace("{where}", where);
    form.querySelector("[data-own]").textContent = text;
    form.dataset.says = text;
  }
}

/** Every button says which bag it means. */
function show() {
  own();
  for (const words of document.querySelectorAll("[data-bag]")) {
    const around = words.closest("form") ?? words.closest("dialog");
    const code = around.querySelector("input[data-scan=bag]")?.value ?? "";
    words.hidden = !code;
    words.querySelector(".code").textContent = code;
    around.querySelectorAll("[data-no-bag]").forEach((one) => { one.hidden = Boolean(code); });
  }
  for (const same of document.querySelectorAll("[data-same-bag]")) {
    same.hidden = !before || Boolean(here);
    same.querySelector(".code").textContent = before;
  }
}
