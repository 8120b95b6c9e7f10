// Answers by colour, word, shape, sound and vibration: one of them gets through.

import { say } from "./words.js";

const box = document.getElementById("answer");
const static_ = new URL(".", import.meta.url).pathname;
const KINDS = {
  good: { shape: "tick", notes: [[880, 0.09]], shake: [40], ms: 3500 },
  kept: { shape: "clock", notes: [[660, 0.09]], shake: [40], ms: 4500 },
  warn: { shape: "triangle", notes: [[520, 0.12], [520, 0.12]], shake: [60, 60, 60], ms: 8000 },
  stop: { shape: "hand", notes: [[196, 0.25], [147, 0.4]], shake: [250, 100, 250], ms: 12000 },
};
let sound = null;
let hiding = 0;
// While the dialog asks who stands by, their badge is as good as the list.
let standingBy = null;
document.addEventListener("partsvc:badge", (event) => {
  if (!standingBy || !document.getElementById("refusal").open) return;
  event.preventDefault();
  standingBy(event.detail.tag.person, event.detail.tag.name);
});

/** Show, sound and shake an answer; `more` is a button's word and what it does. */
export function answer(kind, text, more = null) {
  const how = KINDS[kind];
  box.className = `answer ${kind}`;
  box.replaceChildren(shape(how.shape), Object.assign(document.createElement("p"), { textContent: text }));
  if (more) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = more.word;
    button.addEventListener("click", () => { box.hidden = true; more.does(); });
    box.append(button);
  }
  box.hidden = false;
  // Above an open dialog, too.
  if (box.matches(":popover-open")) box.hidePopover();
  box.showPopover?.();
  clearTimeout(hiding);
  hiding = setTimeout(() => { box.hidden = true; }, how.ms);
  play(how.notes);
  navigator.vibrate?.(how.shake);
}
box.addEventListener("click", (event) => { if (event.target === box) box.hidden = true; });

/** A shape of ours, for the eye only. */
export function shape(name) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("aria-hidden", "true");
  const use = document.createElementNS("http://www.w3.org/2000/svg", "use");
  use.setAttribute("href", `${static_}marks.svg#${name}`);
  svg.append(use);
  return svg;
}

function play(notes) {
  const Context = window.AudioContext;
  if (!Context) return;
  // Browsers stay silent until somebody has touched the page.
  sound ??= new Context();
  if (sound.state === "suspended") sound.resume();
  let at = sound.currentTime;
  for (const [pitch, length] of notes) {
    const tone = sound.createOscillator();
    const loud = sound.createGain();
    tone.type = "square";
    tone.frequency.value = pitch;
    loud.gain.setValueAtTime(0.08, at);
    loud.gain.exponentialRampToValueAtTime(0.001, at + length);
    tone.connect(loud).connect(sound.destination);
    tone.start(at);
    tone.stop(at + length);
    at += length + 0.03;
  }
}

const later = [];

function next() {
  const [record, does] = later.shift() ?? [];
  if (record) refuse(record, does);
}

/** Loud, in the middle of the screen: what was refused, why, and what can be done about it. */
export function refuse(record, does) {
  const dialog = document.getElementById("refusal");
  if (dialog.open) {
    // One at a time: the next when this one is decided.
    later.push([record, does]);
    return;
  }
  const leave = (then) => {
    dialog.onclose = null;
    dialog.close();
    then();
    next();
  };
  const problem = record.problem ?? {};
  const already = dialog.querySelector(".already");
  const reason = already.querySelector("input");
  const buttonOf = (name) => dialog.querySelector(`[data-do="${name}"]`);
  dialog.querySelector("h2 span").textContent = problem.title || say("refused");
  dialog.querySelector(".said").textContent = record.says || "";
  dialog.querySelector(".why").textContent = problem.detail || "";
  already.hidden = true;
  reason.value = "";
  buttonOf("already").hidden = !problem.may_be_recorded;
  buttonOf("amend").hidden = !record.act.queued;
  buttonOf("already").onclick = () => {
    if (already.hidden) {
      already.hidden = false;
      reason.focus();
      return;
    }
    if (!reason.value.trim()) {
      reason.focus();
      answer("warn", say("reason_wanted"));
      return;
    }
    leave(() => does.already(reason.value.trim()));
  };
  const standsBy = dialog.querySelector(".stands-by");
  if (standsBy) {
    const chosen = standsBy.querySelector("select");
    standsBy.hidden = problem.reason !== "supervision-needed";
    const supervised = (person, name) => {
      leave(() => does.supervised(person, name));
    };
    standsBy.querySelector("button").onclick = () => {
      if (chosen.value) supervised(chosen.value, chosen.selectedOptions[0].textContent);
      else chosen.focus();
    };
    standingBy = standsBy.hidden ? null : supervised;
  }
  buttonOf("amend").onclick = () => leave(() => does.amend());
  already.querySelectorAll("[data-reason]").forEach((one) => {
    one.onclick = () => { reason.value = one.dataset.reason; buttonOf("already").click(); };
  });
  dialog.onclose = () => { does.leave(); next(); };
  play(KINDS.stop.notes);
  navigator.vibrate?.(KINDS.stop.shake);
  if (!dialog.open) dialog.showModal();
}
