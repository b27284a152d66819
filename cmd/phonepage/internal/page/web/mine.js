// The leader's own files: bank, repertoire and log, opened from and saved to files, kept on the phone.

import { fill, h, one, picture, saveFile, say, wrong } from "clapladder/dom.js";
import { unpacked } from "clapladder/assets.js";
import { ask } from "clapladder/scorer.js";
import { log, texts } from "clapladder/store.js";
import { people } from "clapladder/people.js";
import { refreshBank } from "clapladder/thumb.js";
import { refreshPieces, setTags } from "clapladder/play.js";

const kinds = { bank: { file: "bank.toml", noun: "phrase" }, repertoire: { file: "repertoire.toml", noun: "piece" }, log: { file: "history.jsonl", noun: "warm-up" } };
const count = (n, noun) => `${n} ${noun}${n === 1 ? "" : "s"}`;

export function setUp() {
  one("mine-file").addEventListener("change", async ({ target }) => {
    for (const file of target.files) await take(file);
    target.value = "";
  });
  one("licences").addEventListener("toggle", async ({ target }) => {
    target.querySelector("pre").textContent ||= new TextDecoder().decode(await unpacked("licences.txt.gz"));
  });
  one("keep-form").addEventListener("submit", keep);
  one("log-undo").addEventListener("click", undo);
  one("log-save").addEventListener("click", async () => saveFile(kinds.log.file, `${(await log.lines()).join("\n")}\n`, "application/jsonl"));
  const now = new Date();
  one("keep-date").value = new Date(now - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 16);
  // Another tab may have changed something.
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "visible") look(); });
}

let opened; // the texts that the scorer was given

async function look() {
  const now = await Promise.all([texts.get("bank"), texts.get("repertoire")]).catch(() => opened);
  if (JSON.stringify(now) !== JSON.stringify(opened) && one("room").hidden) await openMine();
  else await showGroups();
}

/** Hands the leader's files to the scorer and shows what they are. */
export async function openMine() {
  const [bank, repertoire] = await Promise.all([texts.get("bank"), texts.get("repertoire")]).catch((e) => {
    wrong(one("mine-wrong"), e);
    return ["", ""];
  });
  opened = [bank, repertoire];
  const found = await ask("open", { bank: bank || "", repertoire: repertoire || "" });
  showFile("bank", found.bank, bank);
  showFile("repertoire", found.repertoire, repertoire);
  await setTags(found.tags);
  await refreshBank();
  await refreshPieces();
  await showGroups();
}

function showFile(kind, found, text) {
  const { file, noun } = kinds[kind];
  const what = found.starter ? `The starter ${kind}: ${count(found.count, noun)}` : `Your ${kind}: ${count(found.count, noun)}`;
  fill(one(`mine-${kind}`),
    h("p", {}, found.problems?.length ? `Your ${kind} can't be used as it is; until then the starter ${kind} is.` : `${what}.`),
    problemList(found),
    h("div", { class: "buttons" },
      h("button", { type: "button", class: "second", onclick: async () => saveFile(file, text || await ask("starter", { name: kind })) },
        text ? `Save ${file}` : `Save the starter as ${file}`),
      text && h("button", { type: "button", class: "second", onclick: async () => { await texts.remove(kind); await openMine(); say(`The starter ${kind} is in use again.`); } }, "Back to the starter")));
}

function problemList(found) {
  const list = (problems, word) => problems?.length > 0 && h("ul", { class: "errors" }, problems.map((p) => h("li", {},
    h("b", {}, p.Line ? `Line ${p.Line}${p.Column ? `, column ${p.Column}` : ""}: ` : word), p.Message, ". ",
    p.Excerpt && h("pre", {}, p.Excerpt),
    p.Advice && h("span", { class: "try" }, p.Advice, "."))));
  return [list(found.problems, ""), list(found.remarks, "Remark: ")];
}

/** Takes a file that was chosen: what it is follows from its content. */
async function take(file) {
  const place = one("mine-wrong");
  fill(place);
  try {
    if (file.size > 4 << 20) throw { message: `${file.name} is larger than a bank, a repertoire or a log can be`, advice: "choose another file" };
    const text = await file.text();
    const found = await ask("check", { name: file.name, text });
    if (found.problems?.length) {
      fill(place, h("p", { class: "wrong", role: "alert" }, `${file.name} can't be used as it is; nothing was changed.`), problemList(found));
      return;
    }
    if (found.kind === "log") {
      const added = await log.merge(text.split("\n").map((line) => line.trimEnd()));
      say(`${count(added, "line")} added to the log.`);
      fill(place, h("p", {}, `${count(added, "line")} added to the log.`), problemList(found));
      return await showGroups();
    }
    await texts.put(found.kind, text);
    fill(place, h("p", {}, `${file.name} is now your ${found.kind}.`), problemList(found));
    say(`${file.name} is now your ${found.kind}.`);
    await openMine();
  } catch (e) {
    wrong(place, e);
  }
}

async function keep(event) {
  event.preventDefault();
  const place = one("keep-said");
  try {
    const date = withZone(one("keep-date").value);
    const made = await ask("record", { kind: "warm-up", group: one("keep-group").value, date, people: people() });
    await log.add(made.line);
    fill(place, h("p", {}, `Kept for "${one("keep-group").value}".`), made.doubt && h("p", { class: "quiet" }, made.doubt));
    say("Kept.");
    await showGroups();
  } catch (e) {
    wrong(place, e);
  }
}

/** A local date and time with the zone of the place, as RFC 3339 wants it. */
function withZone(local) {
  const at = new Date(local);
  if (!local || Number.isNaN(at.getTime())) return "";
  const minutes = -at.getTimezoneOffset();
  const two = (n) => String(Math.floor(Math.abs(n))).padStart(2, "0");
  return `${local}:00${minutes < 0 ? "-" : "+"}${two(minutes / 60)}:${two(minutes % 60)}`;
}

async function undo() {
  try {
    const taken = await log.undo();
    const said = taken ? "The last line of the log was taken back." : "The log is empty.";
    fill(one("keep-said"), h("p", {}, said));
    say(said);
    await showGroups();
  } catch (e) {
    wrong(one("keep-said"), e);
  }
}

export async function showGroups() {
  const place = one("groups");
  try {
    const lines = await log.lines();
    one("log-undo").disabled = one("log-save").disabled = lines.length === 0;
    const { groups, problems } = await ask("trend", { log: lines.join("\n") });
    fill(one("group-names"), groups.map((g) => h("option", { value: g.label })));
    fill(place,
      groups.length === 0 && h("p", { class: "quiet" }, "No warm-up is kept yet."),
      problems > 0 && h("p", { class: "quiet" }, `${count(problems, "line")} of the log can't be read and ${problems === 1 ? "is" : "are"} left as ${problems === 1 ? "it is" : "they are"}.`),
      groups.map((g) => {
        const body = h("div", {});
        return h("details", { ontoggle: (event) => { if (event.target.open) showTrend(g.label, body); } },
          h("summary", {}, h("b", {}, g.label), ` – ${g.text}`), body);
      }));
  } catch (e) {
    wrong(place, e);
  }
}

async function showTrend(group, place) {
  try {
    const lines = await log.lines();
    const t = await ask("trend", { log: lines.join("\n"), group });
    const pieces = await ask("names");
    const piece = h("select", {}, pieces.map((p) => h("option", { value: p.id }, p.name)));
    const note = h("textarea", { rows: 2, maxlength: 2000, "aria-label": `Note about ${group}` });
    const add = async (wish) => {
      const made = await ask("record", { group, date: withZone(localNow()), ...wish });
      await log.add(made.line);
      await showTrend(group, place);
      one("log-undo").disabled = one("log-save").disabled = false;
      say("Kept.");
    };
    const forget = h("button", { type: "button", class: "second" }, "Forget this group");
    forget.addEventListener("click", async () => {
      if (!forget.dataset.asked) { forget.dataset.asked = "yes"; forget.textContent = "Press again: it can't be brought back"; return; }
      const now = await log.lines();
      const places = await ask("lines", { log: now.join("\n"), group });
      await log.forget(places.map((i) => now[i]));
      say(`${group} is forgotten.`);
      await showGroups();
    });
    fill(place, h("p", {}, t.text), t.picture && h("figure", {}, picture(t.picture)),
      h("label", {}, "How a piece went", piece),
      h("div", { class: "buttons" }, ["got", "partly", "lost"].map((heard) =>
        h("button", { type: "button", class: "second", onclick: () => add({ kind: "outcome", piece: piece.value, heard }) }, { got: "Got it", partly: "Partly", lost: "Lost" }[heard]))),
      h("ul", { class: "plain" }, t.notes.map((n) => h("li", {}, n))),
      h("label", {}, "Note", note),
      h("div", { class: "buttons" },
        h("button", { type: "button", class: "second", onclick: () => note.value.trim() && add({ kind: "note", text: note.value }) }, "Keep the note"),
        forget));
  } catch (e) {
    wrong(place, e);
  }
}

function localNow() {
  const now = new Date();
  return new Date(now - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 16);
}
