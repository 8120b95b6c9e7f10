// Tapping what is where on a photo: a tap puts a spot, a drag moves it; by keyboard too.
//
// A spot is {x, y, place}: thousandths of the photo, and a position or `act:KEY`, the act that adds
// it. The photo may be one just taken: then it goes along with the act, and no line is needed.

import { answer } from "./answer.js";

const known = JSON.parse(document.getElementById("spots-known").textContent);
const at = (id) => document.getElementById(id);
const form = at("tapping");
const photo = at("tap-photo");
const sheet = at("tap-sheet");
const MOST = 60;
const NEW = "new";
const ZOOMS = 4;
// A tap that wandered less than this is a tap, and no drag.
const STILL_PX = 6;
let spots = known.spots;
let taken = null;
let added = [];
// What the page was opened with, or what was kept last: anything else would be lost by leaving.
let keptAs = null;

const fill = (text, values) => text.replace(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);
const word = (key, values = {}) => fill(known.words[key], values);
const clamp = (value) => Math.max(0, Math.min(1000, Math.round(value)));
const places = () => [...known.places, ...added];
const whereOf = (place) => places().find((one) => one.id === place)?.where ?? place;

function options(select, chosen, withNew) {
  select.replaceChildren();
  let group = null;
  for (const one of places()) {
    if (group?.dataset.step !== one.step) {
      group = document.createElement("optgroup");
      group.dataset.step = one.step;
      group.label = word("of_step", { n: one.step_number });
      select.append(group);
    }
    group.append(new Option(one.where, one.id, false, one.id === chosen));
  }
  if (withNew) select.append(new Option(word("new"), NEW, false, chosen === NEW));
}

/** What the next tap is: the place at hand until it has all its spots, then the next of the step. */
function next() {
  const count = (id) => spots.filter((one) => one.place === id).length;
  const wanted = at("next-place").value;
  const now = places().find((one) => one.id === wanted);
  if (now && count(now.id) < now.sets) return now.id;
  const own = places().find((one) => one.step === known.step && count(one.id) < Math.max(1, one.sets));
  return own?.id ?? wanted;
}

function draw(focus = null) {
  const box = at("tap-spots");
  const buttons = spots.map((one, n) => {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "tap-spot";
    button.id = `spot-${n + 1}`;
    button.style.left = `${one.x / 10}%`;
    button.style.top = `${one.y / 10}%`;
    button.textContent = n + 1;
    button.setAttribute("aria-label", word("spot", { n: n + 1, where: whereOf(one.place) }));
    button.setAttribute("aria-describedby", "tap-how");
    watch(button, n);
    return button;
  });
  box.replaceChildren(...buttons);
  at("spot-list").replaceChildren(...spots.map(row));
  at("no-spots").hidden = spots.length > 0;
  at("spots-told").value = JSON.stringify(spots.map(told));
  if (focus !== null) at(`spot-${focus + 1}`)?.focus({ preventScroll: true });
}

const told = ({ x, y, place }) => ({
  x_permille: x, y_permille: y,
  ...(place.startsWith("act:") ? { added_by: place.slice(4) } : { position: place }),
});

function row(one, n) {
  const item = at("spot-row").content.cloneNode(true).firstElementChild;
  item.querySelector(".number").textContent = n + 1;
  const select = item.querySelector("select");
  options(select, one.place, false);
  select.setAttribute("aria-label", word("where_n", { n: n + 1 }));
  select.addEventListener("change", () => { one.place = select.value; draw(); });
  const does = {
    earlier: () => move(n, n - 1), later: () => move(n, n + 1), remove: () => remove(n),
  };
  for (const button of item.querySelectorAll("button")) {
    const name = button.dataset.do;
    button.setAttribute("aria-label", word(`${name}_n`, { n: n + 1 }));
    button.disabled = (name === "earlier" && n === 0) || (name === "later" && n === spots.length - 1);
    button.addEventListener("click", does[name]);
  }
  return item;
}

function move(from, to) {
  spots.splice(to, 0, ...spots.splice(from, 1));
  draw();
  const button = at("spot-list").children[to].querySelector(to < from ? "[data-do=earlier]" : "[data-do=later]");
  (button.disabled ? at("spot-list").children[to].querySelector("select") : button).focus();
}

function remove(n) {
  spots.splice(n, 1);
  at("tap-says").textContent = word("gone", { n: n + 1 });
  draw(spots.length ? Math.min(n, spots.length - 1) : null);
  if (!spots.length) at("spot-add").focus();
}

function put(x, y) {
  const place = at("next-place").value;
  if (!place || place === NEW) {
    answer("warn", word("choose_first"));
    return;
  }
  if (spots.length >= MOST) {
    answer("warn", word("full"));
    return;
  }
  spots.push({ x: clamp(x), y: clamp(y), place });
  draw(spots.length - 1);
  at("tap-says").textContent = word("put", { n: spots.length, where: whereOf(place) });
  choose(next());
}

function choose(place) {
  options(at("next-place"), place, true);
  at("new-place").hidden = at("next-place").value !== NEW;
}

/** Where on the photo a pointer is, in thousandths. */
function on(event) {
  const box = photo.getBoundingClientRect();
  return [((event.clientX - box.left) / box.width) * 1000, ((event.clientY - box.top) / box.height) * 1000];
}

/** A spot is dragged by a finger, moved by arrow keys, and taken away by Delete. */
function watch(button, n) {
  let from = null;
  let moved = false;
  button.addEventListener("pointerdown", (event) => {
    from = [event.clientX, event.clientY];
    moved = false;
    button.setPointerCapture(event.pointerId);
  });
  button.addEventListener("pointermove", (event) => {
    if (!from) return;
    moved ||= Math.hypot(event.clientX - from[0], event.clientY - from[1]) > STILL_PX;
    if (!moved) return;
    const [x, y] = on(event).map(clamp);
    Object.assign(spots[n], { x, y });
    button.style.left = `${x / 10}%`;
    button.style.top = `${y / 10}%`;
  });
  const end = () => {
    if (from && moved) draw(n);
    from = null;
  };
  button.addEventListener("pointerup", end);
  button.addEventListener("pointercancel", end);
  button.addEventListener("keydown", (event) => {
    const step = event.shiftKey ? 50 : 10;
    const way = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] }[event.key];
    if (way) {
      spots[n].x = clamp(spots[n].x + way[0]);
      spots[n].y = clamp(spots[n].y + way[1]);
      draw(n);
    } else if (event.key === "Delete" || event.key === "Backspace") remove(n);
    else return;
    event.preventDefault();
  });
}

sheet.addEventListener("click", (event) => {
  if (event.target === photo) put(...on(event));
});
at("spot-add").addEventListener("click", () => {
  const area = at("tap-area").getBoundingClientRect();
  put(...on({ clientX: area.left + area.width / 2, clientY: area.top + Math.min(area.height, photo.clientHeight) / 2 }));
});
for (const [id, by] of [["zoom-in", 1], ["zoom-out", -1]]) {
  at(id).addEventListener("click", () => {
    sheet.dataset.zoom = Math.max(1, Math.min(ZOOMS, Number(sheet.dataset.zoom) + by));
  });
}
at("next-place").addEventListener("change", () => {
  choose(at("next-place").value);
  if (at("next-place").value === NEW) at("new-where").focus();
});

at("photo-taken").addEventListener("change", () => {
  const [file] = at("photo-taken").files;
  if (!file) return;
  if (taken) URL.revokeObjectURL(photo.src);
  taken = file;
  // Only the service knows the name of a new photo: it goes along, and is the one that is meant.
  at("photo-hash").value = "";
  photo.src = URL.createObjectURL(file);
  spots = [];
  keptAs = "";
  at("tap-work").hidden = false;
  draw();
  choose(next());
});
form.addEventListener("partsvc:kept", () => {
  keptAs = at("spots-told").value;
  // Until the service has named the photo, what is tapped next on it must bring it along again.
  setTimeout(() => {
    if (!taken) return;
    const again = new DataTransfer();
    again.items.add(taken);
    at("photo-taken").files = again.files;
  });
});
document.addEventListener("partsvc:recorded", ({ detail }) => {
  const { act } = detail.record;
  if (act.kind !== "spots" || act.step !== known.step || !taken || !act.photos?.length) return;
  taken = null;
  at("photo-taken").value = "";
  at("photo-hash").value = act.photos[0];
});

const fresh = at("new-place");
const still = fresh.dataset.act;
fresh.addEventListener("input", () => {
  fresh.dataset.act = at("new-bag").value.trim() ? fresh.dataset.off : still;
});
fresh.addEventListener("partsvc:kept", (event) => {
  const { act } = event.detail.record;
  added.push({
    id: `act:${act.key}`, where: act.add.where, sets: act.add.quantity, step: known.step,
    step_number: known.places.find((one) => one.step === known.step)?.step_number ?? "",
  });
  // The form empties itself after this; whether it went into a bag is asked anew.
  setTimeout(() => { fresh.dataset.act = still; });
  choose(`act:${act.key}`);
  at("next-place").focus();
});

options(at("next-place"), "", true);
choose(next());
draw();
keptAs = at("spots-told").value;
window.addEventListener("beforeunload", (event) => {
  if (at("spots-told").value !== keptAs) event.preventDefault();
});
