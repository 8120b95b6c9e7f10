// The codes of tags, as they are typed, scanned and printed.

const FREE = "23456789ABCDEFGHJKMNPRSTVWXYZ";
const LINK = /^https?:\/\/[^/\s]+\/t\/([^/?#]*)\/?$/i;

/** The eight characters of a tag, however it was typed or scanned; null when it cannot be one. */
export function codeOf(text) {
  const link = LINK.exec(text.trim());
  const plain = (link ? link[1] : text).replace(/[\s\-‐-―]+/g, "").toUpperCase();
  if (plain.length !== 8) return null;
  const values = [...plain].map((one) => FREE.indexOf(one));
  if (values.includes(-1)) return null;
  const sum = values.reduce((all, one) => all + one, 0);
  const weighted = values.reduce((all, one, at) => all + one * (at + 1), 0);
  return sum % 29 === 0 && weighted % 29 === 0 ? plain : null;
}

/** A code as it is printed. */
export const shown = (code) => `${code.slice(0, 4)}-${code.slice(4)}`;
