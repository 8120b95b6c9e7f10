// The list of what waits on this device, and of what was refused until somebody decides.

import { answer } from "./answer.js";
import { show, tell } from "./acts.js";
import { dismiss, drop, soon } from "./send.js";
import { say } from "./words.js";

export function watchWaiting() {
  const dialog = document.getElementById("waiting");
  const list = dialog.querySelector(".acts");
  const template = document.getElementById("waiting-act");
  document.addEventListener("partsvc:queue", ({ detail }) => {
    dialog.querySelector(".state").textContent = detail.acts.length ? "" : say("waiting_none");
    list.replaceChildren(...detail.acts.map((record) => {
      const item = template.content.cloneNode(true).firstElementChild;
      item.dataset.state = record.state;
      item.dataset.key = record.act.key;
      item.querySelector(".said").textContent = `${record.says || record.act.kind} · ${new Date(record.act.done_at).toLocaleTimeString(document.body.dataset.language)}`;
      item.querySelector(".why").textContent = record.state === "refused" ? record.problem.detail : "";
      item.querySelector("[data-do=look]").hidden = record.state !== "refused";
      item.querySelector("[data-do=look]").onclick = () => { dialog.close(); show(record); };
      item.querySelector("[data-do=drop]").onclick = async () => {
        if (record.state === "refused") await dismiss(record, say("dropped"));
        else if (!record.tried) await drop(record);
        else await tell({ account: record.account, act: { kind: "reverse", act: record.act.key, reason: say("dropped") }, says: record.says, where: record.where });
        answer("good", `${record.says}. ${say("dropped")}`);
      };
      return item;
    }));
  });
  dialog.querySelector("[data-do=send]").onclick = () => soon(0);
}
