// A tag's own page: another tag that is scanned opens in its place.

document.addEventListener("partsvc:tag", ({ detail }) => {
  if (detail.tag.is !== "unknown") location.assign(`/t/${detail.tag.code}`);
});
