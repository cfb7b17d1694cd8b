// One key for what came of the call on top, or of the one the reader is in: N no reply, A answered, X not to be called.
"use strict";

const REPLIES = { n: "no_reply", a: "answered", x: "not_to_call" };

document.addEventListener("keydown", (pressed) => {
  const reply = REPLIES[pressed.key.toLowerCase()];
  const isTyping = pressed.target.closest("input:not([type=hidden]), textarea, select");
  if (!reply || isTyping || pressed.ctrlKey || pressed.altKey || pressed.metaKey || pressed.repeat) return;
  const call = pressed.target.closest("[data-call]") || document.querySelector("[data-call]");
  const button = call && call.querySelector(`button[value="${reply}"]`);
  if (!button) return;
  pressed.preventDefault();
  button.click();
});
