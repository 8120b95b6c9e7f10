// The bench while taking apart: one step at a time; a bag, a tap.

import { nowWorks, worker } from "./acts.js";
import { answer } from "./answer.js";
import { watchBag } from "./bag.js";
import { watchGroup } from "./group.js";
import { watchOtherwise } from "./otherwise.js";
import { watchRemembered } from "./remember.js";
import { current, watchSteps } from "./steps.js";
import { watchUndo } from "./undo.js";
import { say } from "./words.js";

const SEEN = "cautions-seen";

watchSteps();
watchUndo();
watchRemembered();
watchBag();
watchOtherwise();
watchGroup();
watchTogether();
watchCautions();
watchWitness();

/** Several acts by one tap: each form is sent, in the order of the page. */
function watchTogether() {
  document.addEventListener("click", (event) => {
    const button = event.target.closest("button[data-together], button[data-together-caps]");
    if (!button) return;
    const which = "together" in button.dataset ? "form.together" : "form.together-caps";
    button.disabled = true;
    button.closest("section.step").querySelectorAll(which).forEach((form) => form.requestSubmit());
  });
  // What goes into somebody's own lock box goes to whoever works here now.
  document.addEventListener("submit", (event) => {
    event.target.querySelectorAll("input[data-worker]").forEach((one) => { one.value = worker().person; });
  }, true);
}

/** Cautions stand open until each of their lines was once before the eyes of this shift's person. */
function watchCautions() {
  const key = () => `${SEEN}:${worker().person}:${new Date().toDateString()}`;
  const seen = () => new Set(JSON.parse(sessionStorage.getItem(key()) ?? "[]"));
  const lines = (box) => [...box.querySelectorAll("li")].map((one) => one.textContent);
  const fold = () => {
    const known = seen();
    for (const box of document.querySelectorAll("#steps .cautions.first")) {
      const open = box.closest("section") === current() && box.dataset.shown === "now";
      if (!open && lines(box).every((one) => known.has(one))) box.open = false;
    }
  };
  const read = () => {
    const box = current()?.querySelector(".cautions.first[open]");
    if (!box) return;
    box.dataset.shown = "now";
    sessionStorage.setItem(key(), JSON.stringify([...new Set([...seen(), ...lines(box)])]));
  };
  const shown = () => {
    document.querySelectorAll("#steps .cautions.first").forEach((one) => { delete one.dataset.shown; });
    fold();
    read();
  };
  document.addEventListener("partsvc:step", shown);
  document.addEventListener("partsvc:placed", fold);
  shown();
}

/** A badge scanned where a second person is asked for names that person. */
function watchWitness() {
  document.addEventListener("partsvc:badge", (event) => {
    if (event.defaultPrevented) return;
    const { tag } = event.detail;
    const field = [...current()?.querySelectorAll("select[name=witness]") ?? []].find((one) => one.offsetParent);
    if (!field || field.value || tag.person === worker().person) return;
    if (![...field.options].some((one) => one.value === tag.person)) return;
    event.preventDefault();
    field.value = tag.person;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    const texts = document.getElementById("step-nav").dataset;
    answer("good", texts.witness.replace("{name}", tag.name), {
      word: texts.works,
      does: () => { field.value = ""; nowWorks(tag.person, tag.name); answer("good", say("now_works", { name: tag.name })); },
    });
  });
}
