// Puts the page together.

import { fill, h, one, wrong, say } from "clapladder/dom.js";
import * as views from "clapladder/views.js";
import { ask, start } from "clapladder/scorer.js";
import { texts } from "clapladder/store.js";
import * as people from "clapladder/people.js";
import * as listen from "clapladder/listen.js";
import * as recording from "clapladder/recording.js";
import * as thumb from "clapladder/thumb.js";
import * as play from "clapladder/play.js";
import * as mine from "clapladder/mine.js";
import * as report from "clapladder/report.js";
import { offline } from "clapladder/offline.js";

async function begin() {
  views.setUp();
  for (const view of [listen, recording, play, mine, report]) view.setUp();
  report.noReport();
  await people.setUp();
  try {
    await start();
    await thumb.setUp();
    await mine.openMine();
    await cautions();
    await lastTime();
    document.documentElement.dataset.ready = "yes";
    fill(one("status"));
    one("listen-go").disabled = false;
  } catch (e) {
    wrong(one("status"), { message: `the page can't start: ${e.message || e}`, advice: "use a browser of 2023 or later" });
    return;
  }
  offline(() => listen.busy());
}

async function cautions() {
  const care = await ask("care");
  for (const place of document.querySelectorAll("[data-care]")) {
    fill(place, place.dataset.care.split(" ").map((key) => h("li", {}, care[key])));
  }
}

/** What was known when the page was last closed. */
async function lastTime() {
  const text = await texts.get("sofar").catch(() => "");
  if (!text) return;
  const place = one("last-time");
  const drop = h("button", { type: "button", class: "second", onclick: async () => { await texts.remove("sofar"); fill(place); say("Gone."); } }, "Drop it");
  let known;
  try { known = await ask("restore", { text }); } catch {
    fill(place, h("p", {}, "The last report is kept, but can't be read."), h("div", { class: "buttons" }, drop));
    return;
  }
  const at = Date.parse(await texts.get("sofar-at").catch(() => ""));
  const when = at ? new Date(at).toLocaleString([], { dateStyle: "medium", timeStyle: "short" }) : "last time";
  const what = `${known.rounds.length} round${known.rounds.length === 1 ? "" : "s"}${known.tier ? `, ${known.tier.toLowerCase()}` : ""}`;
  fill(place, h("p", {}, known.provisional ? `Listening was cut off (${when}). What was known is kept: ${what}.` : `The last report is kept: ${what}.`),
    h("div", { class: "buttons" },
      h("button", { type: "button", class: "second", onclick: () => report.showReport(known) }, "Show it"),
      drop));
  await play.refreshPieces();
}

begin();
