// The line at the top of every page: whether the service is there, and what waits on this device.

import { line } from "./send.js";
import { shape } from "./answer.js";
import { say } from "./words.js";

export function watchLine() {
  const box = document.getElementById("line");
  let acts = [];
  const paint = () => {
    const refused = acts.filter((one) => one.state === "refused").length;
    const n = acts.length - refused;
    const now = line();
    let [state, mark, text] = ["good", "tick", say("line_good")];
    if (now === "signed-out") [state, mark, text] = ["stop", "hand", say("sign_in_n", { n })];
    else if (now === "gone" && n) [state, mark, text] = ["gone", "clock", say("line_gone_n", { n })];
    else if (now === "gone") [state, mark, text] = ["gone", "clock", say("line_gone")];
    else if (n) [state, mark, text] = ["busy", "clock", say("sending_n", { n })];
    if (refused) [state, mark, text] = ["stop", "hand", `${text} · ${say("refused_n", { n: refused })}`];
    box.dataset.state = state;
    box.querySelector(".shape").replaceChildren(shape(mark));
    box.querySelector(".word").textContent = text;
  };
  document.addEventListener("partsvc:queue", ({ detail }) => { acts = detail.acts; paint(); });
  document.addEventListener("partsvc:line", paint);
  box.addEventListener("click", () => {
    if (line() === "signed-out") location.assign(`/sign-in?next=${encodeURIComponent(location.pathname + location.search)}`);
    else document.getElementById("waiting").showModal();
  });
  paint();
}
