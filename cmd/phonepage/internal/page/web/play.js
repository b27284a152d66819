// What to play: openers with their chances, everything at hand, and the card followed step by step.

import { fill, h, one, phraseCard, picture, wrong, say } from "clapladder/dom.js";
import { ask } from "clapladder/scorer.js";

let tags = [];
let wants = new Map(); // tag to "with" or "without"
let card, at; // place on the card: {part: "opening", index} or {place}

export function setUp() {
  one("play-tier").addEventListener("change", refreshPieces);
  addEventListener("turned", ({ detail }) => { if (detail === "play" && document.documentElement.dataset.ready) refreshPieces(); });
  one("card-begin").addEventListener("click", begin);
  one("card-back").addEventListener("click", back);
}

export async function setTags(list) {
  tags = list;
  wants = new Map([...wants].filter(([tag]) => tags.includes(tag)));
  showTags();
  card = undefined;
  fill(one("card-step"));
}

const states = { none: ["with", "only with"], with: ["without", "not with"], without: ["none", ""] };

function showTags() {
  fill(one("play-tags"), tags.map((tag) => {
    const now = wants.get(tag) || "none";
    const label = { none: tag, with: `only with ${tag}`, without: `not with ${tag}` }[now];
    return h("button", { type: "button", class: "tag", "data-state": now, "data-tag": tag, onclick: () => turn(tag) }, label);
  }));
}

async function turn(tag) {
  const [next] = states[wants.get(tag) || "none"];
  if (next === "none") wants.delete(tag);
  else wants.set(tag, next);
  showTags();
  document.querySelector(`[data-tag="${CSS.escape(tag)}"]`)?.focus();
  await refreshPieces();
}

export async function refreshPieces() {
  const chosen = (kind) => [...wants].filter(([, state]) => state === kind).map(([tag]) => tag);
  fill(one("play-wrong"));
  try {
    const found = await ask("pieces", { tier: Number(one("play-tier").value), with: chosen("with"), without: chosen("without") });
    fill(one("play-about"), found.about);
    fill(one("play-openers"), found.openers.map((p) => pieceCard(p)));
    fill(one("play-all"), found.all.map((p) => pieceCard(p)));
    fill(one("play-comfort"), found.comfort);
  } catch (e) {
    for (const id of ["play-about", "play-openers", "play-all", "play-comfort"]) fill(one(id));
    wrong(one("play-wrong"), e);
  }
}

function pieceCard(p) {
  return h("li", {},
    p.role && h("p", { class: "what" }, p.role),
    h("div", { class: "row" }, h("h3", {}, p.name), h("b", {}, `${p.tier}, ${p.chance}`)),
    h("figure", {}, picture(p.phrase.picture) || h("code", {}, p.phrase.boxes)),
    p.why && h("p", {}, p.why),
    p.lost && h("p", {}, h("b", {}, "If lost: "), p.lost),
    p.tags?.length > 0 && h("p", { class: "quiet" }, p.tags.join(", ")));
}

async function begin() {
  fill(one("card-wrong"));
  try {
    card = await ask("card");
    at = [{ part: "opening", index: 0 }];
    step();
  } catch (e) {
    wrong(one("card-wrong"), e);
  }
}

function back() {
  if (at?.length > 1) { at.pop(); step(); }
}

function go(to) {
  at.push(to);
  step();
}

function step() {
  const now = at.at(-1);
  const place = one("card-step");
  one("card-back").hidden = at.length < 2;
  one("card-begin").textContent = "Begin the card again";
  if (now.part) {
    const list = card[now.part];
    const more = now.index + 1 < list.length;
    const after = now.part === "opening" && !more ? { place: card.branch[0].place } : more ? { part: now.part, index: now.index + 1 } : { end: true };
    fill(place, h("h3", {}, now.part === "opening" ? "Everybody" : "To close"), phraseCard(list[now.index]),
      h("button", { type: "button", class: "answer", onclick: () => go(after) }, after.end ? "Done" : "Next"));
  } else if (now.end) {
    fill(place, h("p", {}, "That is the end of the card."));
  } else {
    const cell = card.branch.find((c) => c.place === now.place);
    if (!cell) return ended(now.place);
    fill(place, h("h3", {}, `Call ${at.length}`), phraseCard(cell), h("div", { class: "answers two" },
      h("button", { type: "button", class: "answer", onclick: () => go({ place: cell.got }) }, "Got it"),
      h("button", { type: "button", class: "answer", onclick: () => go({ place: cell.lost }) }, "Lost")));
  }
  say(place.textContent);
}

/** An end of the card names the tier; the closing calls follow. */
function ended(place) {
  const end = card.ends.find((e) => e.place === place);
  one("play-tier").value = String(Math.max(1, end.number));
  refreshPieces();
  fill(one("card-step"), h("p", { class: "tier" }, end.tier),
    h("p", {}, "The openers above are for this tier."),
    card.closing.length > 0 && h("button", { type: "button", class: "answer", onclick: () => go({ part: "closing", index: 0 }) }, "To close"));
  say(`${end.tier}.`);
}
