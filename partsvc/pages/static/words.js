// The texts that scripts show, as the page brought them in its language.

const texts = JSON.parse(document.getElementById("words").textContent);

/** A text by its key, with `{name}` filled in; the key itself when nobody wrote it. */
export function say(key, values = {}) {
  const text = texts[key] ?? key;
  return text.replace(/\{(\w+)\}/g, (whole, name) => values[name] ?? whole);
}
