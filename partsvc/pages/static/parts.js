// The parts desk: rows that are handed in together by one tap, or one by one. Each row is one act.
//
// `form.many` holds rows `[data-one]` with their own `data-act` and fields. Fields marked `data-all`
// stand once for all rows. A row is taken when its box `data-take` is ticked; a row without a box is
// taken when its field `data-filled` is filled in.

import "./once.js";
import { actOf, worker } from "./acts.js";
import { answer } from "./answer.js";
import { hand, line } from "./send.js";
import { say } from "./words.js";

const fieldsOf = (part) => [...part.querySelectorAll("input[name], select[name], textarea[name]")];

function taken(row) {
  const box = row.querySelector("[data-take]");
  return box ? box.checked : Boolean(row.querySelector("[data-filled]")?.value);
}

/** The first field of these that is not right, shown to the person; null when all are. */
function amiss(fields) {
  const wrong = fields.find((one) => one.type !== "hidden" && !one.checkValidity());
  if (wrong) {
    const folded = wrong.closest("details");
    if (folded) folded.open = true;
    wrong.reportValidity();
    return wrong;
  }
  return fields.find((one) => one.matches("[data-scan][required]") && !one.value) ?? null;
}

function recordOf(form, row, quiet) {
  const shared = fieldsOf(form).filter((one) => "all" in one.dataset);
  const act = actOf({ dataset: { act: row.dataset.act }, elements: [...fieldsOf(row), ...shared] });
  const now = worker();
  act.by ??= now.person;
  return {
    account: row.dataset.account || form.dataset.account || document.body.dataset.job,
    act, quiet, photos: [], says: row.dataset.says, where: form.closest("[data-live]")?.id ?? "", goes: "",
  };
}

async function handAll(form, rows) {
  if (!rows.length) { answer("warn", say("fill_in")); return; }
  const shared = fieldsOf(form).filter((one) => "all" in one.dataset);
  const wrong = amiss([...shared, ...rows.flatMap(fieldsOf)]);
  if (wrong) {
    if (wrong.matches("[data-scan]")) answer("warn", say("scan_bag_first"));
    return;
  }
  const records = rows.map((row, at) => recordOf(form, row, at < rows.length - 1));
  const buttons = [...form.querySelectorAll("button")];
  buttons.forEach((one) => { one.disabled = true; });
  try {
    for (const record of records) await hand(record);
    form.dispatchEvent(new CustomEvent("partsvc:kept", { bubbles: true, detail: { record: records.at(-1) } }));
    if (line() !== "good") answer("kept", `${records.at(-1).says}. ${say("kept")}`);
    // What is handed in is not handed in again by a second tap, however late the fresh page comes.
    rows.forEach((row) => {
      const box = row.querySelector("[data-take]");
      if (box) box.checked = false;
      const filled = row.querySelector("[data-filled]");
      if (filled) filled.value = "";
    });
    // The next bag is scanned anew: what was left out for being alike must not follow into this one.
    form.querySelectorAll("[data-scan]").forEach((one) => { one.value = ""; });
  } catch (why) {
    console.error("not kept:", why);
    answer("stop", say("not_kept"));
  } finally {
    buttons.forEach((one) => { one.disabled = false; });
  }
}

/** What is to be known of any of many acts stays on the page; the next one's answer hides no warning. */
document.addEventListener("partsvc:recorded", ({ detail }) => {
  const box = document.getElementById("warned");
  for (const words of detail.answer?.warnings ?? []) {
    if ([...box.querySelectorAll("li")].some((one) => one.textContent === words)) continue;
    box.querySelector("ul").append(Object.assign(document.createElement("li"), { textContent: words }));
    box.hidden = false;
  }
});

document.addEventListener("submit", (event) => {
  const form = event.target.closest("form.many");
  if (!form) return;
  event.preventDefault();
  handAll(form, [...form.querySelectorAll("[data-one]")].filter(taken));
});
document.addEventListener("click", (event) => {
  const button = event.target.closest("form.many button[data-do=one]");
  if (button) handAll(button.form, [button.closest("[data-one]")]);
  const none = event.target.closest("form.many button[data-do=none]");
  none?.form.querySelectorAll("[data-take]").forEach((box) => { box.checked = false; });
});
