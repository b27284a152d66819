// Listening in the room: a check of the level, then one large screen to be read at two metres.

import { h, fill, one, phraseCard, say, wrong, clock } from "clapladder/dom.js";
import { ask } from "clapladder/scorer.js";
import { texts } from "clapladder/store.js";
import { open } from "clapladder/microphone.js";
import { keepAwake, letSleep } from "clapladder/awake.js";
import { showReport } from "clapladder/report.js";
import { people } from "clapladder/people.js";

let microphone;
let state = "idle"; // checking, listening
let begun = 0;
let ticking;

export function setUp() {
  one("listen-go").addEventListener("click", check);
  one("room-start").addEventListener("click", start);
  one("room-stop").addEventListener("click", stop);
  one("room-away").addEventListener("click", leave);
  document.addEventListener("visibilitychange", away);
  addEventListener("beforeunload", (event) => { if (state === "listening") event.preventDefault(); });
}

export const busy = () => state !== "idle";

async function check() {
  fill(one("listen-wrong"));
  one("listen-go").disabled = true;
  try {
    microphone = await open(news, trouble);
    const first = await ask("level", { rate: microphone.rate });
    state = "checking";
    show("checking");
    fill(one("room-said"), microphone.said);
    fill(one("room-level"), first.text);
    one("room-level").dataset.state = "listening";
    keepAwake();
    one("room-start").focus();
  } catch (e) {
    microphone?.close();
    wrong(one("listen-wrong"), e);
  }
  one("listen-go").disabled = false;
}

/** Which parts of the large screen are shown; it covers all else. */
function show(part) {
  const room = one("room");
  room.hidden = part === "idle";
  room.dataset.part = part;
  for (const other of document.querySelectorAll("body > :not(#room):not(script)")) {
    if (other.id !== "say") other.inert = part !== "idle";
  }
  if (part === "idle") {
    if (document.fullscreenElement) document.exitFullscreen().catch(() => {});
    return;
  }
  if (!document.fullscreenElement) room.requestFullscreen?.({ navigationUI: "hide" }).catch(() => {});
}

async function start() {
  try {
    await ask("stop");
    await ask("listen", { rate: microphone.rate, people: people() });
  } catch (e) {
    return trouble(e.message);
  }
  state = "listening";
  begun = Date.now();
  show("listening");
  fill(one("room-trouble"));
  fill(one("room-tier"), "Go on");
  fill(one("room-more"), "Begin with four plain beats that everybody claps.");
  fill(one("room-next"));
  fill(one("room-rounds"));
  tick();
  ticking = setInterval(tick, 1000);
  one("room-stop").textContent = "Stop";
  say("Listening.");
}

function tick() {
  fill(one("room-clock"), clock((Date.now() - begun) / 1000));
}

function news(answer) {
  if (answer.wrong) return trouble(`${answer.wrong.message}; ${answer.wrong.advice || ""}`);
  const known = answer.ok;
  if (state === "checking") {
    one("room-level").dataset.state = known.state;
    fill(one("room-level"), known.text);
    say(known.text);
    return;
  }
  if (state !== "listening") return;
  sofar(known);
  texts.put("sofar", known.report).catch(() => {}); // so that a closed page loses no round that was shown
  texts.put("sofar-at", new Date().toISOString()).catch(() => {});
}

/** Shows what is known, largest first. */
export function sofar(known) {
  fill(one("room-tier"), known.tier || `Round ${known.rounds.length}`);
  fill(one("room-more"), known.tier ? `${known.chance}${known.more ? `, ${known.more}` : ""}` : known.more);
  const rounds = known.rounds;
  fill(one("room-rounds"), rounds.slice(-4).map((r, i) => h("li", {},
    h("span", {}, `${rounds.length - Math.min(4, rounds.length) + i + 1}  ${r.name}`), h("b", {}, r.result))));
  const next = known.next;
  fill(one("room-next"), next
    ? [h("h2", {}, "Call next"), phraseCard(next)]
    : h("h2", {}, known.tier ? "Enough is known: stop, and open with what fits." : ""));
  const last = rounds.at(-1);
  say([last && `${last.name}: ${last.result}.`, known.tier && `${known.tier}, ${known.chance}.`, next && `Call next: ${next.name}.`].filter(Boolean).join(" "));
}

function trouble(text) {
  fill(one("room-trouble"), text);
  say(text);
}

function away() {
  if (state !== "listening") return;
  if (document.visibilityState === "hidden") {
    trouble(`At ${clock((Date.now() - begun) / 1000)} the page went to the background: what was clapped then may be missing.`);
  } else {
    microphone.resume().catch(() => {});
  }
}

/** A wet hand may brush the button: stopping takes two presses. */
async function stop() {
  const button = one("room-stop");
  if (!button.dataset.asked) {
    button.dataset.asked = "yes";
    button.textContent = "Press again to stop";
    setTimeout(() => { delete button.dataset.asked; if (state === "listening") button.textContent = "Stop"; }, 4000);
    return;
  }
  delete button.dataset.asked;
  button.textContent = "One moment";
  clearInterval(ticking);
  microphone.close();
  try {
    const known = await ask("stop");
    finish();
    await texts.put("sofar", known.report).catch(() => {});
    showReport(known);
  } catch (e) {
    finish();
    wrong(one("listen-wrong"), e);
  }
}

async function leave() {
  microphone.close();
  await ask("stop").catch(() => {});
  finish();
}

function finish() {
  state = "idle";
  letSleep();
  show("idle");
  one("listen-go").focus();
}
