// What every page does: sends what waits on this device, hears scans, and keeps itself up to date.

import { watchForms } from "./acts.js";
import { watchLine } from "./line.js";
import { watchLive } from "./live.js";
import { watchNumbers } from "./numbers.js";
import { watchPhotos } from "./photos.js";
import { watchScans } from "./scan.js";
import { watchMeaning } from "./meaning.js";
import { watchWaiting } from "./waiting.js";
import { start } from "./send.js";

if (document.body.dataset.person) {
  watchLine();
  watchWaiting();
  watchForms();
  watchNumbers();
  watchScans();
  watchPhotos();
  watchMeaning();
  watchLive();
  start();
}
if ("serviceWorker" in navigator) {
  // Only where the browser trusts the address: over TLS. Elsewhere an open page goes on by itself.
  navigator.serviceWorker.register("/sw.js").catch((why) => console.info("not offline:", why));
}
document.documentElement.dataset.ready = "yes";
