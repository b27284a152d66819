// Which view is shown, by the address after #, so that the phone's back button works.

import { one } from "clapladder/dom.js";

const names = ["listen", "recording", "thumb", "play", "mine", "report"];

export function show(name) {
  if (location.hash !== `#${name}`) location.hash = name;
  else turn();
}

export function setUp() {
  addEventListener("hashchange", turn);
  turn();
}

function turn() {
  const wanted = location.hash.slice(1);
  const name = names.includes(wanted) ? wanted : "listen";
  for (const other of names) one(`view-${other}`).hidden = other !== name;
  for (const link of document.querySelectorAll("nav a")) {
    if (link.hash === `#${name}`) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  dispatchEvent(new CustomEvent("turned", { detail: name }));
  scrollTo(0, 0);
  if (wanted) one(`view-${name}`).querySelector("h1").focus({ preventScroll: true });
}
