// Pieces that no list knows: a photo, a count, a bag, one tap. What it is called can come later.

import { current } from "./steps.js";

export function watchGroup() {
  const form = document.getElementById("group");
  if (!form) return;
  const at = (id) => document.getElementById(id);
  const photo = at("group-photo");
  const seen = at("group-seen");
  const taken = photo.parentElement.querySelector("span");
  const ask = taken.textContent;
  let waiting = 0;
  const number = () => document.querySelectorAll("#steps [data-position^='x']").length + waiting + 1;
  const look = () => {
    const [file] = photo.files;
    if (seen.src) URL.revokeObjectURL(seen.src);
    seen.hidden = !file;
    if (file) seen.src = URL.createObjectURL(file);
    else seen.removeAttribute("src");
    taken.textContent = file ? taken.dataset.taken : ask;
  };
  photo.addEventListener("change", look);
  form.addEventListener("reset", () => setTimeout(look, 0));
  document.addEventListener("click", (event) => {
    const chip = event.target.closest("button[data-fill]");
    if (chip) document.querySelector(chip.dataset.fill).value = chip.dataset.value;
  });
  document.addEventListener("partsvc:queue", ({ detail }) => {
    waiting = detail.acts.filter((one) => one.act.add && one.state === "waiting").length;
  });
  // Sent as it stands when it is tapped: the name it has by itself, the step it belongs to.
  document.addEventListener("submit", (event) => {
    if (event.target !== form) return;
    const where = at("group-where");
    const name = where.value.trim() || `${form.dataset.word} ${number()}`;
    where.value = name;
    const own = form.dataset.ownStep === "yes" || at("group-own")?.checked;
    at("group-step").value = own ? "" : current()?.dataset.step ?? "";
    at("group-title-told").value = at("group-step").value ? "" : name;
    form.dataset.says = `${name}: ${at("group-count").value}`;
    form.dataset.where = own ? "" : current()?.id ?? "";
  }, true);
}
