// Keeps the screen on while listening, where the browser can.

let lock;
let wanted = false;

export async function keepAwake() {
  wanted = true;
  try {
    lock = await navigator.wakeLock?.request("screen");
  } catch {
    lock = undefined; // low battery, or the page is hidden: it is asked for again when it comes back
  }
  return Boolean(lock);
}

export function letSleep() {
  wanted = false;
  lock?.release().catch(() => {});
  lock = undefined;
}

document.addEventListener("visibilitychange", () => {
  if (wanted && document.visibilityState === "visible") keepAwake();
});
