// What does not go as planned: the dialogs of `_strip_otherwise.html`, for a position or a whole step.

import { answer } from "./answer.js";
import { current } from "./steps.js";
import { say } from "./words.js";

export function watchOtherwise() {
  const ofPosition = document.getElementById("otherwise");
  const ofStep = document.getElementById("otherwise-step");
  document.addEventListener("click", (event) => {
    const position = event.target.closest("button[data-otherwise]");
    if (position) openFor(ofPosition, position, position.dataset.otherwise);
    const step = event.target.closest("button[data-otherwise-step]");
    if (step) openFor(ofStep, step, step.dataset.otherwiseStep);
  });
  for (const dialog of [ofPosition, ofStep]) {
    dialog.addEventListener("submit", (event) => meant(event), true);
    dialog.addEventListener("partsvc:kept", () => dialog.close());
  }
}

/** The dialog of a position or step: its name in every form, its words on every button. */
function openFor(dialog, button, id) {
  const { where } = button.dataset;
  dialog.querySelector("h2").textContent = where;
  for (const form of dialog.querySelectorAll("form.act")) {
    form.reset();
    form.dataset.where = current()?.id ?? "";
    form.dataset.fixed ??= form.dataset.act ?? "{}";
    const act = JSON.parse(form.dataset.fixed);
    const names = form.dataset.names ?? "";
    if (names.endsWith("[]")) act[names.slice(0, -2)] = [id];
    else if (names) act[names] = id;
    if ("withPart" in form.dataset) act.part = parts(button)[0];
    form.dataset.act = JSON.stringify(act);
    for (const one of form.querySelectorAll("button:not([type=button])")) one.dataset.says = `${where}: ${one.textContent.trim()}`;
  }
  ofWhat(dialog, button);
  dialog.showModal();
}

const parts = (button) => JSON.parse(button.dataset.parts ?? "[]");

/** Where a set is of several parts, each can be named. */
function ofWhat(dialog, button) {
  const choice = dialog.querySelector("[data-parts]");
  if (!choice) return;
  choice.querySelectorAll("label").forEach((one, n) => { if (n) one.remove(); });
  const numbers = parts(button);
  choice.hidden = numbers.length < 2;
  if (choice.hidden) return;
  const called = JSON.parse(button.dataset.called);
  numbers.forEach((part, n) => {
    const label = choice.querySelector("label").cloneNode(true);
    const field = label.querySelector("input");
    field.value = part;
    field.checked = false;
    label.replaceChildren(field, ` ${called[n]}`);
    choice.append(label);
  });
}

/** What the tapped button means by the number, and which fields it has no use for. */
function meant(event) {
  const { form, dataset } = event.submitter ?? {};
  if (!form?.matches("form.act")) return;
  const drops = (dataset.drops ?? "").split(" ");
  const bag = form.querySelector("input[name=bag]");
  if (bag) bag.disabled = drops.includes("bag");
  if ("needsBag" in dataset && !bag.value) {
    event.preventDefault();
    event.stopPropagation();
    answer("warn", say("scan_bag_first"));
    return;
  }
  const radios = [...form.querySelectorAll("input[type=radio][name=part]")];
  if ("ofPart" in dataset && radios.length > 1 && radios[0].checked) radios[1].checked = true;
  radios.forEach((one) => { one.disabled = drops.includes("part"); });
  const count = form.querySelector("#otherwise-count");
  if (count) {
    const single = radios.some((one) => one.checked && one.value);
    count.disabled = !dataset.countAs;
    count.name = dataset.countAs === "sets" && single ? "quantity" : dataset.countAs ?? "n";
  }
  const reason = form.querySelector("select[name=reason]");
  if (reason) reason.disabled = !("reason" in dataset);
}
