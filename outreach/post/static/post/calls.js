// One key for what came of the call on top, or of the one the reader is in: S said, N not reached, W wrong number.
"use strict";

const OUTCOMES = { s: "said", n: "not_reached", w: "wrong_number" };

document.addEventListener("keydown", (pressed) => {
  const outcome = OUTCOMES[pressed.key.toLowerCase()];
  const isTyping = pressed.target.closest("input:not([type=hidden]), textarea, select");
  if (!outcome || isTyping || pressed.ctrlKey || pressed.altKey || pressed.metaKey || pressed.repeat) return;
  const call = pressed.target.closest("[data-call]") || document.querySelector("[data-call]");
  const button = call && call.querySelector(`button[value="${outcome}"]`);
  if (!button) return;
  pressed.preventDefault();
  button.click();
});
