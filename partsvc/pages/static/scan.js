// Hears a hand scanner: it types into no particular field, very fast, and ends with Enter or Tab.
//
// What it typed is taken out of the field that happened to have the focus. Everything scanned, by
// scanner, photo, camera or hand, becomes one event: partsvc:scan {text}.

import { codeOf } from "./codes.js";

const FASTEST_HAND_MS = 45;
const SHORTEST = 8;
const PATIENCE_MS = 120;
const MODIFIERS = new Set(["Shift", "Control", "Alt", "AltGraph", "Meta", "CapsLock", "NumLock", "Dead"]);

export const scanned = (text) => document.dispatchEvent(new CustomEvent("partsvc:scan", { detail: { text } }));

export function watchScans() {
  let burst = "";
  let lastAt = 0;
  let field = null;
  let before = "";
  let ending = 0;
  const heard = (text) => {
    // What it typed into a field, a list or a password, is taken out again.
    if (field) {
      field.value = before;
      field.dispatchEvent(new Event("input", { bubbles: true }));
    }
    scanned(text);
  };
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing) return;
    // A scanner presses Shift before capitals; that is no key of the code.
    if (MODIFIERS.has(event.key)) return;
    const at = event.timeStamp;
    const fast = at - lastAt < FASTEST_HAND_MS;
    lastAt = at;
    clearTimeout(ending);
    if (event.key === "Enter" || event.key === "Tab") {
      const text = burst;
      burst = "";
      if (!fast || text.length < SHORTEST) return;
      event.preventDefault();
      event.stopPropagation();
      heard(text);
      return;
    }
    if (event.key.length !== 1) return;
    if (!fast) {
      burst = "";
      const active = document.activeElement;
      field = active?.matches("input, textarea, select") ? active : null;
      before = field ? field.value : "";
    }
    burst += event.key;
    // Some scanners send no Enter: what came as fast and is a code of ours was scanned all the same.
    const text = burst;
    if (text.length >= SHORTEST) ending = setTimeout(() => {
      if (burst !== text || !codeOf(text)) return;
      burst = "";
      heard(text);
    }, PATIENCE_MS);
  }, true);
  document.getElementById("scan-type")?.addEventListener("submit", (event) => {
    event.preventDefault();
    const typed = document.getElementById("scan-code");
    if (typed.value.trim()) scanned(typed.value);
    typed.value = "";
  });
}
