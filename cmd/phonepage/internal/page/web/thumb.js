// The tally by thumb, for a room in which nothing is recorded.

import { fill, h, one, phraseCard, say, wrong } from "clapladder/dom.js";
import { ask } from "clapladder/scorer.js";
import { texts } from "clapladder/store.js";
import { showReport } from "clapladder/report.js";
import { people } from "clapladder/people.js";

const verdicts = ["got", "partly", "lost"];

let calls = [];   // {phrase, heard}
let current;      // the phrase that was called
let phrases = [];
let known;

export async function setUp() {
  for (const heard of verdicts) one(`thumb-${heard}`).addEventListener("click", () => answer(heard));
  one("thumb-undo").addEventListener("click", undo);
  one("thumb-again").addEventListener("click", () => { calls = []; refresh(); });
  one("thumb-report").addEventListener("click", () => showReport(known));
  one("thumb-phrase").addEventListener("change", ({ target }) => { current = phrases.find((p) => p.id === target.value); showCall(); });
  try { calls = JSON.parse((await texts.get("tally")) || "[]").filter((c) => verdicts.includes(c?.heard)); } catch { calls = []; }
}

/** Takes the bank as it is now. */
export async function refreshBank() {
  phrases = await ask("phrases");
  const has = new Set(phrases.map((p) => p.id));
  calls = calls.filter((c) => has.has(c.phrase));
  await refresh();
}

async function answer(heard) {
  if (!current) return;
  calls.push({ phrase: current.id, heard });
  await refresh();
  const { rounds } = known;
  say(`${rounds.length}: ${current && rounds.at(-1).name}, ${heard}. ${known.tier ? `${known.tier}, ${known.chance}. ` : ""}${known.next ? `Call next: ${known.next.name}.` : ""}`);
}

async function undo() {
  if (calls.length === 0) return;
  const last = calls.pop();
  await refresh();
  current = phrases.find((p) => p.id === last.phrase) || current;
  showCall();
  say("Taken back.");
}

async function refresh() {
  texts.put("tally", JSON.stringify(calls)).catch(() => {});
  try {
    known = await ask("tally", { calls, people: people() });
  } catch (e) {
    return wrong(one("thumb-wrong"), e);
  }
  fill(one("thumb-wrong"));
  current = known.next || phrases.find((p) => p.id === calls.at(-1)?.phrase) || phrases[0];
  showCall();
  fill(one("thumb-tier"), known.tier ? `${known.tier}, ${known.chance}` : "");
  fill(one("thumb-more"), known.more || (known.next ? "" : "Enough is known; go on if you like."));
  fill(one("thumb-list"), known.rounds.map((r) => h("li", {}, h("span", {}, r.name), h("b", {}, r.result))).reverse());
  for (const id of ["thumb-undo", "thumb-again", "thumb-report"]) one(id).disabled = calls.length === 0;
}

function showCall() {
  if (!current) return;
  fill(one("thumb-call"), phraseCard(current), current.why && h("p", { class: "quiet" }, current.why));
  fill(one("thumb-phrase"), phrases.map((p) => h("option", { value: p.id, selected: p.id === current.id }, `${p.name} (tier ${p.tier})`)));
}
