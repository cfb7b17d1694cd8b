// Reading the code of a sheet row with the camera, where the browser can; everywhere else the short code is typed.

import { byId, el } from "./dom.js";
import { say } from "./words.js";

const BETWEEN_LOOKS_MS = 250;

export const canScan = () => "BarcodeDetector" in window && Boolean(navigator.mediaDevices?.getUserMedia);

/** Show the camera until a code is read or it is stopped; `found` is given what the code holds. */
export async function scan(door, found) {
  const place = byId("scanning");
  let stream;
  try {
    stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
  } catch (error) {
    return door.announce(say("scan_no_camera", { why: error.message || error.name }));
  }
  const video = el("video", { playsinline: true, muted: true, "aria-label": say("scan_hint") });
  let isOver = false;
  const stop = () => {
    isOver = true;
    for (const track of stream.getTracks()) track.stop();
    place.replaceChildren();
    byId("scan")?.focus();
  };
  const stopButton = el("button", { type: "button", id: "scan-stop", class: "second", click: stop }, say("scan_stop"));
  place.replaceChildren(el("p", {}, say("scan_hint")), video, stopButton);
  stopButton.focus();
  video.srcObject = stream;
  await video.play();
  const code = await read(video, () => isOver || !video.isConnected);
  if (!isOver) stop();
  if (code) found(code);
}

async function read(video, isOver) {
  const detector = new window.BarcodeDetector({ formats: ["qr_code"] });
  while (!isOver()) {
    const [seen] = await detector.detect(video).catch(() => []);
    if (seen?.rawValue) return seen.rawValue;
    await new Promise((resolve) => setTimeout(resolve, BETWEEN_LOOKS_MS));
  }
  return "";
}
