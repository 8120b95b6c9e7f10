// What was said once and holds for the next time, too: a tool's number, what it was set to.
//
// A field with `data-remember="name"` is filled with what this device last sent under that name, and
// the reader sees it in the field before anything is sent. What a page was told, it never overwrites.

const PREFIX = "said:";

const fields = (within) => [...within.querySelectorAll("[data-remember]")];

/** Fill what is still empty. */
export function recall(within = document) {
  for (const field of fields(within)) {
    if (!field.value) field.value = localStorage.getItem(PREFIX + field.dataset.remember) ?? "";
  }
}

export function watchRemembered() {
  recall();
  document.addEventListener("partsvc:placed", () => recall());
  document.addEventListener("submit", (event) => {
    for (const field of fields(event.target)) {
      if (field.value.trim()) localStorage.setItem(PREFIX + field.dataset.remember, field.value.trim());
    }
  }, true);
  // A form is emptied after it was kept; what is remembered stands in it again at once.
  document.addEventListener("reset", () => setTimeout(recall, 0));
}
