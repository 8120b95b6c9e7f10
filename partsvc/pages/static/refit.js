// The bench while putting back: the bag is scanned, one tap follows. A wrong bag is refused at once, by
// what this page knows of the job's bags: no line is needed for that.

import { answer } from "./answer.js";
import { codeOf, shown } from "./meaning.js";
import { watchRemembered } from "./remember.js";
import { watchElse } from "./refit-else.js";
import { current, openStep, sectionOf, watchSteps } from "./steps.js";
import { watchUndo } from "./undo.js";

const wrong = document.getElementById("wrong");
const fill = (text, values) => text.replace(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);
let inHand = "";

/** The part of a step that shows a bag. */
const fromBag = (section, code) => section?.querySelector(`.from[data-bags~="${code}"]`) ?? null;

/** The first step, in the order of the refit, that takes something from a bag. */
const stepOfBag = (code) => [...document.querySelectorAll("section.step")].find((one) => fromBag(one, code));

function scanned(event) {
  const { tag } = event.detail;
  // A dialog that asks for a bag takes it; places and badges are no bags.
  if (document.querySelector("dialog[open]") || tag.is === "place" || tag.is === "badge") return;
  event.stopImmediatePropagation();
  const open = current();
  const here = fromBag(open, tag.code);
  if (here) {
    take(tag.code);
    answer("good", `${tag.shown} · ${here.dataset.pieces}`);
    return;
  }
  const elsewhere = stepOfBag(tag.code);
  if (elsewhere && !open?.querySelector(".from")) {
    openStep(elsewhere);
    take(tag.code);
    answer("good", `${tag.shown} · ${fromBag(elsewhere, tag.code).dataset.pieces}`);
    return;
  }
  refuse(tag, open, elsewhere);
}

/** The bag is in hand: its part of the step comes first, its button is the big one. */
function take(code) {
  inHand = code;
  wrong.hidden = true;
  paint();
  const here = fromBag(current(), code);
  here.scrollIntoView({ block: "start" });
  const empty = [...here.querySelectorAll("input[required]")].find((one) => !one.value);
  (empty ?? here.querySelector("[data-deed]"))?.focus({ preventScroll: true });
}

function paint() {
  for (const part of document.querySelectorAll(".from")) {
    const held = inHand !== "" && part.dataset.bags.split(" ").includes(inHand) && part.closest("section.step") === current();
    part.classList.toggle("in-hand", held);
    part.querySelector(".held").hidden = !held;
  }
}

/** Loud and at once: what this bag is, what is wanted, and what can be done about it. */
function refuse(tag, open, elsewhere) {
  const says = wrong.dataset;
  const which = { blank: says.blank, void: says.void, unknown: says.unknown, "other-job": says.other }[tag.is]
    ?? (tag.pieces ? says.holds : says.empty);
  const is = fill(which, { code: tag.shown, words: tag.words, n: tag.job_number });
  const wants = [...open.querySelectorAll(".from")].map((one) => {
    const place = one.querySelector(".stands").textContent.trim();
    return shown(one.dataset.bags.split(" ")[0]) + (place ? ` (${place})` : "");
  });
  const n = open.dataset.number;
  const wanted = wants.length ? fill(says.wanted, { n, bags: wants.join(", ") }) : fill(says.wantsNone, { n });
  wrong.querySelector(".is").textContent = is;
  wrong.querySelector(".wanted").textContent = wanted;
  const go = wrong.querySelector("[data-do=open]");
  go.hidden = !elsewhere;
  if (elsewhere) {
    go.textContent = fill(says.open, { n: elsewhere.dataset.number });
    go.onclick = () => { openStep(elsewhere); take(tag.code); };
  }
  offerAlready(tag, open);
  inHand = "";
  paint();
  wrong.hidden = false;
  wrong.scrollIntoView({ block: "center" });
  answer("stop", `${wrong.querySelector("h2").textContent.trim()}: ${tag.shown}. ${wanted}`);
}

/** It may be in already: the truth is recorded, and the service says what it thinks of it. */
function offerAlready(tag, open) {
  const form = wrong.querySelector("form");
  const places = [...open.querySelectorAll(".position[data-position]")].filter((one) => Number(one.dataset.toFit));
  form.hidden = true;
  form.dataset.act = JSON.stringify({ kind: "secure" });
  form.dataset.where = open.id;
  form.elements.bag.value = tag.code;
  form.elements.position.replaceChildren(...places.map((one) => new Option(one.dataset.where, one.dataset.position)));
  const already = wrong.querySelector("[data-do=already]");
  already.hidden = !places.length;
  already.onclick = () => { form.hidden = false; form.elements.position.focus(); };
  const name = () => {
    const where = form.elements.position.selectedOptions[0]?.textContent ?? "";
    form.dataset.says = fill(wrong.dataset.says, { where, code: tag.shown });
  };
  form.elements.position.onchange = name;
  name();
}

function leave() {
  wrong.hidden = true;
}

wrong.querySelector("[data-do=back]").addEventListener("click", leave);
wrong.querySelector("form").addEventListener("partsvc:kept", leave);
// Before the steps hear of a scan, so that a wrong bag opens nothing.
document.addEventListener("partsvc:tag", scanned);
document.addEventListener("partsvc:step", () => { leave(); paint(); });
document.addEventListener("partsvc:placed", paint);
watchSteps();
watchRemembered();
watchElse();
watchUndo();

// A tag's own page, or a phone's camera, leads here with the bag in the address.
const asked = codeOf(new URLSearchParams(location.search).get("bag") ?? "");
if (asked && !(location.hash && fromBag(current(), asked))) openStep(stepOfBag(asked) ?? sectionOf(""));
if (asked && fromBag(current(), asked)) take(asked);
