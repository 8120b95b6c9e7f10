// The bags of a job: a scanned one opens what is done with it; a hundred rows fold and are filtered.

import { answer } from "./answer.js";
import { watchTable } from "./bags-photo.js";
import { codeOf } from "./meaning.js";

const dialog = document.getElementById("bag-do");
const putAway = document.getElementById("put-away");
const filter = document.getElementById("filter");
const zone = document.getElementById("zone");
const fill = (text, code) => text.replace("{code}", code);
const rowOf = (code) => document.querySelector(`.bag-row[data-code="${code}"]`);

// One bag ---------------------------------------------------------------------------------------

function open(code, shown) {
  const row = rowOf(code);
  const parts = JSON.parse(row?.dataset.parts ?? "[]");
  // What the book has in it stays out of sight while it is counted.
  row?.querySelector("details")?.removeAttribute("open");
  dialog.querySelector("#bag-do-title .code").textContent = shown;
  for (const form of dialog.querySelectorAll("form.act")) {
    form.reset();
    form.dataset.says = fill(form.dataset.saysOf, shown);
    form.querySelectorAll("[data-code]").forEach((one) => { one.value = code; });
    form.querySelectorAll("[data-fill]").forEach((one) => choices(one, parts));
    form.querySelectorAll("[data-counted]").forEach((one) => ask(one, parts));
    if (form.querySelector("[data-counted]")) form.dataset.parts = parts.length;
    nameOther(form);
  }
  const count = dialog.querySelector("#do-count form");
  count.dataset.act = JSON.stringify({ kind: "count", seen_seq: Number(document.body.dataset.seq) });
  dialog.querySelectorAll("details").forEach((one) => { one.open = "open" in one.dataset; });
  dialog.showModal();
  dialog.querySelector("[data-counted] input")?.focus();
}

function choices(select, parts) {
  select.querySelectorAll("[data-here]").forEach((one) => one.remove());
  for (const [number, called] of parts) {
    const option = new Option(called, number);
    option.dataset.here = "";
    select.append(option);
  }
}

/** How many of each part there are is asked, and never told. */
function ask(box, parts) {
  box.replaceChildren(...parts.map(([number, called], at) => {
    const row = document.getElementById("count-row").content.cloneNode(true).firstElementChild;
    const field = row.querySelector("input");
    const part = Object.assign(document.createElement("input"), { type: "hidden", name: `counted[${at}].part`, value: number });
    field.id = `${box.dataset.counted}-${at}`;
    field.name = `counted[${at}].quantity`;
    field.required = true;
    row.querySelector("label").htmlFor = field.id;
    row.querySelector("label").textContent = called;
    row.append(part);
    return row;
  }));
}

/** A part that is not on the list goes along only when its number and a quantity stand there. */
function nameOther(form) {
  const part = form.querySelector("[data-other]");
  if (!part) return;
  const many = form.querySelector(`#${part.id}-n`);
  const both = part.value.trim() !== "" && many.value !== "";
  part.name = both ? `counted[${form.dataset.parts}].part` : "";
  many.name = both ? `counted[${form.dataset.parts}].quantity` : "";
}

document.addEventListener("click", ({ target }) => {
  const button = target.closest("button[data-bag]");
  if (button) open(button.dataset.bag, button.closest(".bag-row").dataset.shown);
});
dialog.addEventListener("input", ({ target }) => { if (target.form) nameOther(target.form); });
dialog.addEventListener("partsvc:kept", () => dialog.close());

// Putting away ----------------------------------------------------------------------------------

function stow(tag) {
  const form = putAway.querySelector("form");
  if (tag.is === "place") {
    form.elements.at_tag.value = tag.code;
    form.querySelector(".place").textContent = tag.words;
    form.elements.at.value = "";
    return;
  }
  if (form.querySelector(`input[value="${tag.code}"]`)) return;
  const item = document.createElement("li");
  item.textContent = `${tag.shown} ${tag.words ?? ""}`;
  item.append(Object.assign(document.createElement("input"), { type: "hidden", name: "tags[]", value: tag.code }));
  form.querySelector(".tags-of-it").append(item);
}
putAway.addEventListener("input", ({ target }) => {
  if (target.name === "at" && target.value) putAway.querySelector("[name=at_tag]").value = "";
});
putAway.addEventListener("partsvc:kept", () => {
  putAway.querySelector(".tags-of-it").replaceChildren();
  putAway.querySelector(".place").textContent = "";
  putAway.querySelector("[name=at_tag]").value = "";
});

// Scans -----------------------------------------------------------------------------------------

document.addEventListener("partsvc:tag", ({ detail: { tag } }) => {
  // How many are in it is not told to somebody who may be about to count.
  if (tag.is === "bag") document.getElementById("scan-last").textContent = tag.shown;
  if (document.querySelector("dialog[open]") || tag.is === "badge") return;
  if (putAway.open) { stow(tag); return; }
  if (tag.is === "other-job" || tag.is === "void" || tag.is === "place") {
    answer("warn", `${tag.shown} · ${tag.words ?? ""}`);
    return;
  }
  // A field of the page that waits for a bag has it by itself.
  if (document.activeElement?.matches("input[data-scan]")) return;
  open(tag.code, tag.shown);
});

// Filter ----------------------------------------------------------------------------------------

function sift() {
  const words = filter.value.trim().toLowerCase().split(/\s+/).filter(Boolean);
  for (const row of document.querySelectorAll("#full .bag-row")) {
    const text = row.textContent.toLowerCase();
    const here = !zone.value || row.dataset.zones.split("|").includes(zone.value);
    row.hidden = !here || !words.every((one) => text.includes(one));
  }
}
filter.addEventListener("input", sift);
zone.addEventListener("change", sift);
document.addEventListener("partsvc:placed", sift);

watchTable();

// A tag's own page leads here with its bag in the address.
const asked = new URLSearchParams(location.search).get("bag");
const row = asked && rowOf(codeOf(asked) ?? "");
if (row) {
  row.scrollIntoView({ block: "center" });
  row.querySelector("details")?.setAttribute("open", "");
}
