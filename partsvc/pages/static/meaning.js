// What a scan means on this page. The page knows its job's tags by heart (`#tags`), so that most
// scans need no line; the service is asked about the others.
//
// Tells the page partsvc:tag {tag}; tag = {code, shown, is, job, job_number, words, steps, ...}.
// `is` is one of: bag, place, badge, blank, void, other-job, unknown.

import { answer } from "./answer.js";
import { nowWorks } from "./acts.js";
import { ask, line } from "./send.js";
import { codeOf, shown } from "./codes.js";
import { say } from "./words.js";

export { codeOf, shown };

/** The tags this page knows: of its job, of the racks, of the people. */
export function known() {
  const data = document.getElementById("tags");
  return data ? JSON.parse(data.textContent) : {};
}

let scans = 0;

export function watchMeaning() {
  document.addEventListener("partsvc:scan", async ({ detail }) => {
    const mine = ++scans;
    const tag = await meaning(detail.text);
    // A slow answer does not overrule what was scanned after it.
    if (tag && mine === scans) took(tag);
  });
}

async function meaning(text) {
  const code = codeOf(text);
  const here = code ? known()[code] : null;
  if (here) return { code, shown: shown(code), ...here };
  if (line() !== "gone") {
    try {
      const found = await ask(`/scan?text=${encodeURIComponent(text)}&job=${document.body.dataset.job ?? ""}`);
      const told = await found.json();
      if (found.ok) return told;
      answer("stop", told.detail ?? say("not_a_tag", { text }));
      return null;
    } catch {
      // The line went just now: what follows holds without one.
    }
  }
  if (!code) {
    answer("stop", say("not_a_tag", { text }));
    return null;
  }
  answer("kept", say("unknown_bag", { code: shown(code) }));
  return { code, shown: shown(code), is: "unknown", words: "" };
}

function took(tag) {
  const last = document.getElementById("scan-last");
  if (last) {
    last.hidden = false;
    last.textContent = [tag.shown, tag.words].filter(Boolean).join(" · ");
  }
  // A page that waits for a second person takes the badge itself.
  if (tag.is === "badge" && document.dispatchEvent(new CustomEvent("partsvc:badge", { cancelable: true, detail: { tag } }))) {
    nowWorks(tag.person, tag.name);
    answer("good", say("now_works", { name: tag.name }));
  }
  document.dispatchEvent(new CustomEvent("partsvc:tag", { detail: { tag } }));
  // Every form that asks for a tag has it now; one that asks for a place or badge has only that.
  if (tag.is === "badge" || tag.is === "place") return;
  for (const field of document.querySelectorAll("input[data-scan=bag]")) {
    if (field.closest("[hidden]")) continue;
    field.value = tag.shown;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }
}
