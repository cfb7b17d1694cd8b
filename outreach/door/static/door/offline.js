// Whether this page starts without a network: only over HTTPS (or on this machine) and once the worker has its files.

const PATIENCE_MS = 30_000;

let asked = null;

/** Register the worker and wait until it has everything; false where the browser does not let it. */
export function installed() {
  asked ??= register().catch((error) => {
    console.warn(`The worker was not installed: ${error}`);
    return false;
  });
  return asked;
}

async function register() {
  if (!window.isSecureContext || !("serviceWorker" in navigator)) return false;
  const registration = await navigator.serviceWorker.register("/door/worker.js", { scope: "/door/" });
  if (!registration) return false;
  const late = new Promise((resolve) => setTimeout(() => resolve(false), PATIENCE_MS));
  return Promise.race([navigator.serviceWorker.ready.then(() => true), late]);
}

/** At a cold start, before anything is half-done: let newer files that wait take over, and start again with them. */
export async function takeNewerFiles() {
  const registration = await navigator.serviceWorker?.getRegistration("/door/");
  if (!registration?.waiting || !navigator.serviceWorker.controller) return;
  navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
  registration.waiting.postMessage("take over");
}

export const mayBeCleared = async () => (await navigator.storage?.persisted?.()) === false;
