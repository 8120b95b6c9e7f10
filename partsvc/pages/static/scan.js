// Hears a hand scanner: it types into no particular field, very fast, and ends with Enter or Tab.
//
// What it typed is taken out of the field that happened to have the focus. Everything scanned, by
// scanner, photo, camera or hand, becomes one event: partsvc:scan {text}.

const FASTEST_HAND_MS = 45;
const SHORTEST = 8;

export const scanned = (text) => document.dispatchEvent(new CustomEvent("partsvc:scan", { detail: { text } }));

export function watchScans() {
  let burst = "";
  let lastAt = 0;
  let field = null;
  let before = "";
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing) return;
    const at = event.timeStamp;
    const fast = at - lastAt < FASTEST_HAND_MS;
    lastAt = at;
    if (event.key === "Enter" || event.key === "Tab") {
      const text = burst;
      burst = "";
      if (!fast || text.length < SHORTEST) return;
      event.preventDefault();
      event.stopPropagation();
      if (field) {
        field.value = before;
        field.dispatchEvent(new Event("input", { bubbles: true }));
      }
      scanned(text);
      return;
    }
    if (event.key.length !== 1) return;
    if (!fast) {
      burst = "";
      field = "value" in (document.activeElement ?? {}) && document.activeElement.matches("input, textarea")
        ? document.activeElement : null;
      before = field ? field.value : "";
    }
    burst += event.key;
  }, true);
  document.getElementById("scan-type")?.addEventListener("submit", (event) => {
    event.preventDefault();
    const typed = document.getElementById("scan-code");
    if (typed.value.trim()) scanned(typed.value);
    typed.value = "";
  });
}
