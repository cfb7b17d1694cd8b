// The page that lets a device in: with a door pass and a name, or with the sign-in of staff.

import { newId } from "./events.js";
import * as keep from "./keep.js";
import { el, byId } from "./dom.js";
import { Sync } from "./sync.js";
import { installed } from "./offline.js";

const sentence = (key) => byId("sentences").content.querySelector(`[data-key="${key}"]`).textContent;
const problem = byId("problem");

function complain(words, field = null) {
  problem.textContent = words;
  problem.hidden = !words;
  field?.focus();
}

/** A pass in the address (from its QR code) is put in its field and taken out of the address at once. */
function passFromAddress() {
  const inHash = new URLSearchParams(location.hash.slice(1)).get("pass");
  const pass = inHash ?? new URLSearchParams(location.search).get("pass");
  if (!pass) return;
  history.replaceState(null, "", location.pathname);
  byId("pass").value = pass;
  byId("who").focus();
}

async function showOpened() {
  const opened = await keep.openings();
  byId("opened").hidden = opened.length === 0;
  byId("opened-list").replaceChildren(
    ...opened.map((one) => {
      const words = one.title || `${one.workshop}`;
      return el("li", {}, el("h3", {}, words), el("a", { class: "button", href: `/door/${one.workshop}/` }, sentence("continue")));
    }),
  );
}

async function post(address, body, headers = {}) {
  const answer = await fetch(address, {
    ...{ method: "POST", headers: { "Content-Type": "application/json", ...headers }, redirect: "error" },
    body: JSON.stringify(body),
  }).catch(() => null);
  if (!answer) return complain(sentence("no-network"));
  const told = await answer.json().catch(() => ({}));
  if (!answer.ok) return complain(told.sentence || sentence("refused"));
  return told;
}

async function opened(answer) {
  if (!answer) return;
  const { device, token, workshop, by, may_except, expires_at, server_now } = answer;
  const offset_ms = Math.round(Date.parse(server_now) - Date.now());
  await keep.saveOpening({ device, token, workshop, by, may_except, expires_at, offset_ms });
  await navigator.storage?.persist?.();
  const sync = new Sync({ workshop, told: () => undefined, changed: async () => undefined });
  await Promise.all([sync.soon(), installed()]);
  location.assign(`/door/${workshop}/`);
}

async function openWithPass(event) {
  event.preventDefault();
  const [pass, who] = [byId("pass"), byId("who")];
  if (!pass.value.trim()) return complain(sentence("need-pass"), pass);
  if (!who.value.trim()) return complain(sentence("need-who"), who);
  await busy(event.submitter, async () => {
    const body = { pass: pass.value.trim(), name: who.value.trim(), label: deviceLabel(), device: await deviceId() };
    await opened(await post("/api/door/devices", body));
  });
}

async function openAsStaff(button) {
  await busy(button, async () => {
    const token = document.querySelector("[name=csrfmiddlewaretoken]").value;
    const body = { label: deviceLabel(), device: await deviceId() };
    await opened(await post(`/door/${button.dataset.workshop}/device`, body, { "X-CSRFToken": token }));
  });
}

async function busy(button, work) {
  const words = button.textContent;
  complain("");
  Object.assign(button, { disabled: true, textContent: sentence("busy") });
  try {
    await work();
  } finally {
    Object.assign(button, { disabled: false, textContent: words });
  }
}

/** One browser is one device; what an earlier opening has not sent stays its own. */
const deviceId = async () => (await keep.openings())[0]?.device ?? newId();

/** What the coordinator tells devices apart by: the kind of device, nothing about its owner. */
function deviceLabel() {
  const platform = navigator.userAgentData?.platform || navigator.platform || "";
  return navigator.userAgentData?.mobile ? `${platform} phone` : platform;
}

byId("pass-form").addEventListener("submit", openWithPass);
for (const button of document.querySelectorAll("[data-workshop]")) {
  button.addEventListener("click", () => openAsStaff(button));
}
passFromAddress();
window.addEventListener("hashchange", passFromAddress);
installed().then((can) => (byId("no-https").hidden = can));
showOpened();
