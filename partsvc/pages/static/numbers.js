// Number fields with a button for one less and one more: no keyboard is needed with gloves on.

export function watchNumbers() {
  document.addEventListener("click", (event) => {
    const button = event.target.closest(".count button[data-step]");
    if (!button) return;
    const field = button.parentElement.querySelector("input[type=number]");
    const next = (field.value === "" ? Number(field.min || 0) - (button.dataset.step > 0 ? 1 : 0) : Number(field.value)) + Number(button.dataset.step);
    field.value = Math.min(Number(field.max || 9999), Math.max(Number(field.min || 0), next));
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
}
