// A plain form is sent once: two taps on a slow line are not two orders, nor two labels of one code.

document.addEventListener("submit", (event) => {
  const form = event.target;
  const method = event.submitter?.formMethod || form.method;
  if (event.defaultPrevented || method !== "post" || form.matches(".act, .many")) return;
  if (form.dataset.sent) event.preventDefault();
  form.dataset.sent = "yes";
});
// Whoever comes back to the page may send it again.
window.addEventListener("pageshow", () => {
  for (const form of document.querySelectorAll("form[data-sent]")) delete form.dataset.sent;
});
