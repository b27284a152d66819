// The report: the same page as the command line writes, to share, print and keep.

import { fill, h, one, saveFile, say, wrong } from "clapladder/dom.js";
import { ask } from "clapladder/scorer.js";
import { show } from "clapladder/views.js";

let page;

export function setUp() {
  one("report-print").addEventListener("click", () => one("report-frame").contentWindow.print());
  one("report-save").addEventListener("click", () => saveFile("warm-up.html", page.html, "text/html"));
  one("report-json").addEventListener("click", () => saveFile("warm-up.json", page.json, "application/json"));
  one("report-share").addEventListener("click", share);
  one("report-frame").addEventListener("load", fit);
  addEventListener("resize", fit);
}

/** Shows the last report of the scorer; known is what came with it. */
export async function showReport(known) {
  show("report");
  fill(one("report-none"));
  try {
    page = await ask("page", { title: "" });
  } catch (e) {
    one("report-there").hidden = true;
    return wrong(one("report-none"), e);
  }
  one("report-there").hidden = false;
  one("report-frame").srcdoc = page.html;
  one("report-share").hidden = !shareable();
  say(known?.tier ? `${known.tier}, ${known.chance}.` : "The report is below.");
}

/** The frame is as high as its page, so that there is one thing to scroll. */
function fit() {
  const frame = one("report-frame");
  const inside = frame.contentDocument?.documentElement;
  if (inside && !one("view-report").hidden) frame.style.height = `${inside.scrollHeight + 2}px`;
}

const asFile = () => new File([page.html], "warm-up.html", { type: "text/html" });

function shareable() {
  try { return Boolean(navigator.canShare?.({ files: [asFile()] })); } catch { return false; }
}

async function share() {
  try {
    await navigator.share({ files: [asFile()], title: "Clap warm-up" });
  } catch (e) {
    if (e.name !== "AbortError") wrong(one("report-none"), { message: "it could not be shared", advice: "save it and send the file" });
  }
}

export const noReport = () => fill(one("report-none"), h("p", {}, "No report yet. Listen, choose a recording, or tally by thumb."));
