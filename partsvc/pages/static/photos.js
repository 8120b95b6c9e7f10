// A photo of a tag, or of a heap of them, read by the service; and the live camera, where there is one.

import { answer } from "./answer.js";
import { scanned } from "./scan.js";
import { ask } from "./send.js";
import { say } from "./words.js";

const WIDEST = 1600;
const LOOK_EVERY_MS = 350;

/** A picture small enough for a bad line: no wider than `widest`, as JPEG. */
export async function small(picture, widest = WIDEST) {
  const image = await createImageBitmap(picture);
  const scale = Math.min(1, widest / Math.max(image.width, image.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(image.width * scale);
  canvas.height = Math.round(image.height * scale);
  canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((done, failed) => {
    canvas.toBlob((made) => (made ? done(made) : failed(new Error("not drawn"))), "image/jpeg", 0.85);
  });
}

async function read(picture, job) {
  const answered = await ask(`/api/v1/tags/read${job ? `?job=${job}` : ""}`, {
    method: "POST", headers: { "Content-Type": "image/jpeg" }, body: picture,
  });
  if (!answered.ok) throw new Error((await answered.json()).detail);
  return answered.json();
}

export function watchPhotos() {
  const field = document.getElementById("scan-photo");
  field?.addEventListener("change", async () => {
    const [file] = field.files;
    field.value = "";
    if (!file) return;
    try {
      const found = await read(await small(file), field.dataset.job);
      const tags = found.tags.filter((one) => one.code);
      if (!tags.length) answer("warn", say("no_tag"));
      else if (tags.length > 1 && field.dataset.many) {
        document.dispatchEvent(new CustomEvent("partsvc:many", { detail: found }));
      } else tags.slice(0, 1).forEach((one) => scanned(one.text));
    } catch (why) {
      answer("warn", why instanceof TypeError ? say("no_line_no_photo") : String(why.message));
    }
  });
  watchCamera();
}

function watchCamera() {
  const button = document.getElementById("scan-camera");
  const video = document.getElementById("scan-video");
  if (!button || !navigator.mediaDevices?.getUserMedia) return;
  button.hidden = false;
  let stream = null;
  const stop = () => {
    stream?.getTracks().forEach((one) => one.stop());
    stream = null;
    video.hidden = true;
    button.setAttribute("aria-pressed", "false");
  };
  button.addEventListener("click", async () => {
    if (stream) { stop(); return; }
    try {
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment", width: 1280 } });
      video.srcObject = stream;
      video.hidden = false;
      button.setAttribute("aria-pressed", "true");
      await video.play();
      look();
    } catch (why) {
      console.info("no camera:", why);
      stop();
      answer("warn", say("camera_no"));
    }
  });
  let before = "";
  async function look() {
    if (!stream) return;
    try {
      const found = await read(await small(video, 1280), "");
      const [tag] = found.tags.filter((one) => one.code);
      if (tag && tag.code !== before) {
        before = tag.code;
        scanned(tag.text);
      } else if (!tag) before = "";
    } catch (why) {
      console.info("frame not read:", why);
    }
    setTimeout(look, LOOK_EVERY_MS);
  }
}
