// The print page: asks each printer how it is, and looks again while something is being printed.

import "./once.js";
import { refresh } from "./live.js";
import { ask } from "./send.js";

const LOOK_EVERY_MS = 2000;
const UNDER_WAY = ["waiting", "begun", "numbered", "sending", "at-printer"]
  .map((stage) => `[data-stage="${stage}"]`).join(", ");

for (const slot of document.querySelectorAll("[data-printer]")) {
  ask(`/print/now/${slot.dataset.printer}`).then(async (answered) => {
    if (!answered.ok) return;
    const told = new DOMParser().parseFromString(await answered.text(), "text/html");
    slot.replaceChildren(...told.body.childNodes);
  }, (why) => console.info("not asked:", why.message));
}
setInterval(() => {
  if (!document.hidden && document.querySelector(UNDER_WAY)) refresh();
}, LOOK_EVERY_MS);
