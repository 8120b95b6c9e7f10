// One photo of many bags: which stand on it, which are missing, which are empty and seen to be so.

import { answer } from "./answer.js";
import { newKey } from "./ids.js";
import { refresh } from "./live.js";
import { small } from "./photos.js";
import { ask } from "./send.js";

const section = document.getElementById("table");
const box = document.getElementById("table-read");
const job = () => document.body.dataset.job;
const text = (key, n) => section.dataset[key].replace("{n}", n);

export function watchTable() {
  document.getElementById("table-photo").addEventListener("change", async ({ target }) => {
    const [file] = target.files;
    target.value = "";
    if (!file) return;
    try {
      const photo = await small(file, 2400);
      const told = await send(`/api/v1/tags/read?job=${job()}`, photo);
      show(told, photo);
    } catch (why) {
      fault(why);
    }
  });
}

async function send(path, photo) {
  const answered = await ask(path, { method: "POST", headers: { "Content-Type": "image/jpeg" }, body: photo });
  const told = await answered.json();
  if (!answered.ok) throw new Error(told.detail);
  return told;
}

function fault(why) {
  console.info("not read:", why);
  answer("warn", why instanceof TypeError ? section.dataset.noLine : String(why.message));
}

function show(found, photo) {
  const tags = found.tags.filter((one) => one.code);
  box.replaceChildren();
  if (!tags.length) {
    answer("warn", section.dataset.none);
    return;
  }
  box.append(line("p", text("read", tags.length), "lead"), picture(found.tags, found.empty, photo));
  if (found.empty.length) box.append(emptied(found.empty, photo));
  const full = tags.filter((one) => one.belongs === "this-job" && one.pieces);
  const others = tags.filter((one) => one.belongs !== "this-job");
  list("full", full.map((one) => `${one.shown} · ${one.pieces}`));
  list("others", others.map((one) => [one.shown, one.job_number ?? "", one.words].filter(Boolean).join(" · ")));
  const read = new Set(tags.map((one) => one.code));
  const waiting = [...document.querySelectorAll("[data-empty]")].map((one) => one.dataset.empty).filter((one) => one && one.length === 8);
  list("missingEmpty", waiting.filter((one) => !read.has(one)).map((one) => `${one.slice(0, 4)}-${one.slice(4)}`));
  list("missing", found.missing.map((one) => [one.shown, one.stowed_at, one.words].filter(Boolean).join(" · ")));
  answer("good", text("read", tags.length));
}

function line(kind, words, of = "") {
  return Object.assign(document.createElement(kind), { textContent: words, className: of });
}

/** The photo with a mark on each tag that was read: what has no mark was not read. */
function picture(tags, empty, photo) {
  const frame = line("div", "", "table-picture");
  const image = Object.assign(document.createElement("img"), { src: URL.createObjectURL(photo), alt: "" });
  frame.append(image);
  for (const one of tags) {
    const mark = line("span", one.shown || "?", empty.includes(one.code) ? "seen empty" : "seen");
    mark.style.left = `${one.x_permille / 10}%`;
    mark.style.top = `${one.y_permille / 10}%`;
    frame.append(mark);
  }
  return frame;
}

function list(what, lines) {
  if (!lines.length) return;
  const fold = document.createElement("details");
  const items = document.createElement("ul");
  items.append(...lines.map((one) => line("li", one)));
  fold.append(line("summary", text(what, lines.length)), items);
  fold.dataset.list = what;
  box.append(fold);
}

/** One tap for all of them, under one key: tapped again with a bad line, it is recorded once. */
function emptied(codes, photo) {
  const key = newKey();
  const button = line("button", text("record", codes.length), "main big");
  button.type = "button";
  button.addEventListener("click", async () => {
    button.disabled = true;
    try {
      const told = await send(`/api/v1/jobs/${job()}/emptied/${key}`, photo);
      answer(told.warnings?.length ? "warn" : "good", [text("recorded", codes.length), ...(told.warnings ?? [])].join(" "));
      button.remove();
      refresh();
    } catch (why) {
      button.disabled = false;
      fault(why);
    }
  });
  return button;
}
