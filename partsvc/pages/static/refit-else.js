// What does not go as planned at a position: one dialog for all of them, filled where it is opened.

const dialog = document.getElementById("else");

export function watchElse() {
  document.addEventListener("click", (event) => {
    const button = event.target.closest("button[data-else]");
    if (button) open(button.closest("[data-position]"));
  });
  dialog.addEventListener("change", ({ target }) => { if (target.matches("[data-at]")) lieAt(target); });
  dialog.addEventListener("partsvc:kept", () => dialog.close());
}

function open(place) {
  const { position, where } = place.dataset;
  dialog.querySelector("#else-title").textContent = where;
  const parts = [...place.querySelectorAll(".stack [data-part]")].map((one) => [one.dataset.part, one.dataset.called]);
  const bags = place.dataset.bags.split(" ").filter(Boolean).map((one) => [one.replace("-", ""), one]);
  for (const form of dialog.querySelectorAll("form.act")) {
    form.reset();
    form.dataset.where = place.closest("section.step").id;
    form.dataset.says = form.dataset.saysAt.replace("{where}", where);
    if (form.elements.position) form.elements.position.value = position;
    options(form.querySelector("[data-fill=parts]"), parts);
    options(form.querySelector("[data-fill=bags]"), bags);
    form.querySelectorAll("[data-at]").forEach(lieAt);
  }
  dialog.querySelectorAll("details[open]").forEach((one) => { one.open = false; });
  dialog.showModal();
}

/** What the template offers stays first; the rest is of this position. */
function options(select, found) {
  if (!select) return;
  select.querySelectorAll("[data-here]").forEach((one) => one.remove());
  for (const [value, text] of found) {
    const option = new Option(text, value);
    option.dataset.here = "";
    select.append(option);
  }
}

/** A piece is in its place or in a bag, and an act says only one of them. */
function lieAt(select) {
  select.form.elements.position.disabled = select.value !== "";
}
