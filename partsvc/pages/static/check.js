// The checker's pages: a scanned bag opens its trail.

import { answer } from "./answer.js";

document.addEventListener("partsvc:tag", ({ detail }) => {
  const { tag } = detail;
  const { job } = document.body.dataset;
  if (tag.is === "bag") location.assign(`/check/${job}/trail/bag/${tag.code}`);
  else if (tag.is === "other-job" || tag.is === "blank" || tag.is === "void") {
    answer("warn", [tag.shown, tag.words].filter(Boolean).join(": "));
  }
});
