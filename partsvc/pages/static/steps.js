// One step at a time: of all `section.step[data-step]` in `#steps` one is shown.
//
// With the bar of `_steps_nav.html`: back, on, and a list of all steps with their marks. A scanned bag
// opens the step that its pieces belong to. An act of this device that finishes a step moves on to
// the next one; with no line, an act of a form with `data-finishes` counts as having done so. Without
// this script all steps are simply listed.
//
//   partsvc:step {section}    another step is shown

import { answer } from "./answer.js";
import { line } from "./send.js";

const FINISHED = new Set(["off", "finished", "left-out"]);
let box = null;
let nav = null;
let list = null;
let shownId = "";
let worked = "";
let queue = [];
let known = 0;

const sections = () => [...box.querySelectorAll("section.step[data-step]")];
const finished = (section) => FINISHED.has(section.dataset.state) || section.dataset.here === "done";

/** The section of the step that is shown. */
export const current = () => document.getElementById(shownId);

const takes = (section) => section.querySelector("form input[data-scan=bag]") !== null;

/** The section of a step, by the step's id. */
export const sectionOf = (step) => sections().find((one) => one.dataset.step === step) ?? null;

/** The section whose step a bag belongs to: by its pieces, else by the position it was made for. */
export function sectionOfTag(tag) {
  const steps = (tag.steps ?? []).map(sectionOf).filter(Boolean);
  if (steps.length) return steps.includes(current()) ? current() : steps[0];
  return tag.home ? sections().find((one) => one.querySelector(`[data-position="${CSS.escape(tag.home)}"]`)) ?? null : null;
}

export function watchSteps() {
  box = document.getElementById("steps");
  nav = document.getElementById("step-nav");
  if (!box || !nav) return;
  list = document.getElementById("all-steps");
  nav.hidden = false;
  nav.addEventListener("click", (event) => {
    const button = event.target.closest("button[data-go]");
    if (!button) return;
    if (button.dataset.go === "all") openList();
    else beside(Number(button.dataset.go));
  });
  document.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey || event.target.closest?.("input, textarea, select, dialog, video")) return;
    if (event.key === "ArrowLeft") beside(-1);
    if (event.key === "ArrowRight") beside(1);
  });
  document.addEventListener("partsvc:tag", ({ detail }) => scanned(detail.tag));
  document.addEventListener("partsvc:kept", ({ detail }) => {
    if (detail.record.where !== shownId) return;
    worked = shownId;
    moveOn();
  });
  document.addEventListener("partsvc:queue", ({ detail }) => { queue = detail.acts; paint(); moveOn(); });
  document.addEventListener("partsvc:placed", () => { newest(); paint(); moveOn(); });
  document.addEventListener("partsvc:line", moveOn);
  document.addEventListener("partsvc:amend", ({ detail }) => {
    const section = document.getElementById(detail.record.where);
    if (section?.matches("section.step")) openStep(section);
  });
  addEventListener("hashchange", () => { const one = asked(); if (one) openStep(one); });
  known = sections().length;
  openStep(asked() ?? sections().find((one) => !finished(one)) ?? sections()[0], { quiet: true });
  if (!known) paint();
}

/** Where the list is made as the work goes on, what was just added is shown. */
function newest() {
  const all = sections();
  if ("newest" in box.dataset && all.length > known) openStep(all.at(-1), { quiet: true });
  known = all.length;
}

/** The step that the address asks for. */
function asked() {
  const id = decodeURIComponent(location.hash.slice(1));
  return id ? sections().find((one) => one.id === id || one.dataset.step === id) : null;
}

/** Show a step, and no other. */
export function openStep(section, { quiet = false } = {}) {
  if (!section) return;
  const before = current();
  const focusGoes = before && before !== section && before.contains(document.activeElement);
  shownId = section.id;
  worked = "";
  paint();
  if (list.open) list.close();
  if (quiet || before === section) return;
  history.replaceState(null, "", `#${section.id}`);
  if (focusGoes) headingOf(section).focus({ preventScroll: true });
  scrollTo({ top: 0 });
  document.dispatchEvent(new CustomEvent("partsvc:step", { detail: { section } }));
}

function headingOf(section) {
  const heading = section.querySelector("h2");
  heading.tabIndex = -1;
  return heading;
}

function beside(by) {
  const all = sections();
  const next = all[all.indexOf(current()) + by];
  if (next) openStep(next);
}

function scanned(tag) {
  if (tag.is !== "bag") return;
  const section = sectionOfTag(tag);
  if (!section || section === current()) return;
  const before = current();
  const about = (text) => text.replace("{n}", section.dataset.number).replace("{code}", tag.shown);
  if (before && takes(before) && !takes(section)) {
    // What is in it already is off; it takes the pieces of this step, too.
    answer("kept", about(nav.dataset.holds), { word: about(nav.dataset.look), does: () => openStep(section) });
    return;
  }
  openStep(section);
  // Whoever means to put the pieces of the step before into this bag goes back with one tap.
  answer("warn", about(nav.dataset.belongs), {
    word: nav.dataset.use.replace("{n}", before.dataset.number),
    does: () => {
      openStep(before);
      before.querySelectorAll("input[data-scan=bag]").forEach((field) => {
        field.value = tag.shown;
        field.dispatchEvent(new Event("input", { bubbles: true }));
      });
    },
  });
}

/** The one step shown, its place among all, and what of this device waits or was refused at each. */
function paint() {
  const all = sections();
  if (!current()) shownId = (all.find((one) => !finished(one)) ?? all[0])?.id ?? "";
  for (const section of all) {
    section.hidden = section.id !== shownId;
    const here = queue.filter((one) => one.where === section.id);
    const refused = here.filter((one) => one.state === "refused");
    const waiting = here.filter((one) => one.state === "waiting");
    if (refused.length) section.dataset.here = "refused";
    else if (waiting.some((one) => one.finishes)) section.dataset.here = "done";
    else if (waiting.length) section.dataset.here = "waiting";
    else delete section.dataset.here;
    mark(section, refused, waiting);
  }
  const at = all.indexOf(current());
  nav.querySelector("[data-at]").textContent = `${at + 1} / ${all.length}`;
  nav.querySelector("[data-go='-1']").disabled = at < 1;
  nav.querySelector("[data-go='1']").disabled = at >= all.length - 1;
  if (list.open) fillList();
}

/** What this device still has to send of a step, or what was refused of it, said at the step. */
function mark(section, refused, waiting) {
  section.querySelector(":scope > .here")?.remove();
  if (!refused.length && !waiting.length) return;
  const said = document.createElement("p");
  said.className = "here note";
  said.append(document.getElementById(refused.length ? "mark-refused" : "mark-waiting").content.cloneNode(true));
  said.append(` ${[...refused, ...waiting].map((one) => one.says).filter(Boolean).join(" · ")}`);
  headingOf(section).after(said);
}

/** After an act of this device that finished the step, the next unfinished one. */
function moveOn() {
  const section = current();
  if (!section || worked !== section.id || section.dataset.typing) return;
  if (document.querySelector("dialog[open]")) return;
  const byBook = FINISHED.has(section.dataset.state);
  if (!byBook && !(section.dataset.here === "done" && line() !== "good")) return;
  if (section.dataset.here === "refused") return;
  const all = sections();
  const at = all.indexOf(section);
  const next = [...all.slice(at + 1), ...all.slice(0, at)].find((one) => !finished(one));
  if (next) openStep(next);
  else worked = "";
}

function openList() {
  fillList();
  list.showModal();
  list.querySelector("[aria-current]")?.scrollIntoView({ block: "center" });
  list.querySelector("[aria-current]")?.focus();
}

function fillList() {
  list.querySelector("ol").replaceChildren(...sections().map((section) => {
    const item = document.createElement("li");
    const button = document.createElement("button");
    button.type = "button";
    const title = document.createElement("span");
    title.className = "title";
    title.append(...[...section.querySelector("h2").childNodes].map((one) => one.cloneNode(true)));
    button.append(title);
    const state = section.querySelector(".state");
    if (state) button.append(state.cloneNode(true));
    if (section.dataset.here) {
      const which = section.dataset.here === "refused" ? "mark-refused" : "mark-waiting";
      button.append(document.getElementById(which).content.cloneNode(true));
    }
    if (section.id === shownId) button.setAttribute("aria-current", "step");
    button.addEventListener("click", () => openStep(section));
    item.append(button);
    return item;
  }));
}
