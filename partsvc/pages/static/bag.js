// The bag just scanned: on every button that puts something into it, and stowed by the next rack scan.

import { answer } from "./answer.js";
import { tell } from "./acts.js";
import { codeOf, known, shown } from "./meaning.js";
import { current } from "./steps.js";

// The last bag scanned on this page; the one before the step was changed; the one scanned at this step.
let last = "";
let before = "";
let here = "";

export function watchBag() {
  document.addEventListener("partsvc:scan", ({ detail }) => guess(detail.text));
  document.addEventListener("partsvc:tag", ({ detail }) => took(detail.tag));
  document.addEventListener("partsvc:step", () => {
    before = last;
    // A bag scanned just now opened this step; what was scanned at another one is no longer meant.
    clear(document.querySelectorAll("#otherwise, #otherwise-step, #steps"));
    here = "";
  });
  document.addEventListener("partsvc:placed", () => { if (here) fill(current(), here); show(); });
  document.addEventListener("input", (event) => { if (event.target.matches("input[data-scan=bag]")) show(); });
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

/** Every button says which bag it means. */
function show() {
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
