// A recording: any file that our decoders read, else what the browser decodes, up to a length.

import { fill, one, wrong, h, say } from "clapladder/dom.js";
import { askFile, askSamples, restart } from "clapladder/scorer.js";
import { texts } from "clapladder/store.js";
import { showReport } from "clapladder/report.js";
import { people } from "clapladder/people.js";
import { openMine } from "clapladder/mine.js";

// What only the browser can decode is held in memory whole: a megabyte for every eight seconds of two channels.
const mostMinutes = 10;
const foreign = new Set(["unsupported", "needs-ffmpeg", "not-audio"]);

export function setUp() {
  for (const id of ["file", "recorder"]) {
    one(id).addEventListener("change", ({ target }) => {
      const [file] = target.files;
      target.value = "";
      if (file) score(file);
    });
  }
}

async function score(file) {
  const place = one("file-wrong");
  const stop = h("button", { type: "button", class: "second", onclick: async () => { await restart(); await openMine(); } }, "Stop");
  fill(place, h("p", { role: "status" }, `Listening to ${file.name} … `), stop);
  try {
    const known = await askFile(file, people()).catch((e) => {
      if (!foreign.has(e.kind)) throw e;
      return decoded(file);
    });
    fill(place);
    await texts.put("sofar", known.report).catch(() => {});
    say("The report is ready.");
    showReport(known);
  } catch (e) {
    if (e.stopped) fill(place, h("p", {}, "Stopped."));
    else wrong(place, e);
  }
}

/** Lets the browser decode a file that the scorer can't. */
async function decoded(file) {
  const seconds = await length(file);
  if (seconds > mostMinutes * 60) {
    throw Object.assign(new Error(`only the browser can decode this kind of file, and ${Math.round(seconds / 60)} minutes of it are too long`),
      { advice: `cut it to ${mostMinutes} minutes, or record as M4A, MP3 or WAV, of which an hour and more can be read` });
  }
  const context = new OfflineAudioContext(1, 1, 16000);
  let sound;
  try {
    sound = await context.decodeAudioData(await file.arrayBuffer());
  } catch {
    throw Object.assign(new Error("neither this page nor the browser can read this file"), { advice: "choose a sound file such as M4A, MP3 or WAV" });
  }
  const mono = sound.getChannelData(0).slice();
  for (let c = 1; c < sound.numberOfChannels; c++) {
    const other = sound.getChannelData(c);
    for (let i = 0; i < mono.length; i++) mono[i] += other[i];
  }
  if (sound.numberOfChannels > 1) for (let i = 0; i < mono.length; i++) mono[i] /= sound.numberOfChannels;
  return askSamples(mono, sound.sampleRate, people());
}

/** The length of a file in seconds, as far as the browser tells it without decoding; 0 where it doesn't. */
function length(file) {
  return new Promise((resolve) => {
    const player = document.createElement("audio");
    const url = URL.createObjectURL(file);
    const done = (seconds) => { URL.revokeObjectURL(url); resolve(Number.isFinite(seconds) ? seconds : 0); };
    player.onloadedmetadata = () => done(player.duration);
    player.onerror = () => done(0);
    player.preload = "metadata";
    player.src = url;
  });
}
