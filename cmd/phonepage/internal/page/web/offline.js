// On a web host the page is kept for use without a network, and taken anew when there is a new one.

import { fill, h, one } from "clapladder/dom.js";

export async function offline(busy) {
  if (document.documentElement.dataset.kind !== "host" || !("serviceWorker" in navigator)) return;
  let registration;
  try {
    registration = await navigator.serviceWorker.register("sw.js");
  } catch {
    return; // a private window: the page works, only not offline
  }
  const offer = (waiting) => {
    if (!navigator.serviceWorker.controller) return; // the first visit
    const reload = () => { if (!busy()) waiting.postMessage("take over"); };
    fill(one("status"), h("p", {}, "A new version of this page is here. "), h("button", { type: "button", class: "second", onclick: reload }, "Use it"));
  };
  if (registration.waiting) offer(registration.waiting);
  registration.addEventListener("updatefound", () => {
    const fresh = registration.installing;
    fresh.addEventListener("statechange", () => { if (fresh.state === "installed") offer(fresh); });
  });
  let mine = Boolean(navigator.serviceWorker.controller);
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (mine && !busy()) location.reload();
    mine = true;
  });
}
