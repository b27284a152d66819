// The microphone: asked for without any processing, and what was really given, in words.

import { workletAddress } from "clapladder/assets.js";
import { hear } from "clapladder/scorer.js";

const processing = {
  echoCancellation: "echo cancelling",
  noiseSuppression: "noise suppression",
  autoGainControl: "gain control",
};

/** Opens the microphone and passes its samples to the scorer. onNews gets what the scorer says, onTrouble plain sentences. */
export async function open(onNews, onTrouble) {
  if (!navigator.mediaDevices?.getUserMedia) {
    throw problem("this browser gives a page opened from a file no microphone", "record with the phone's own recorder and choose the recording here, or put the page on a web host");
  }
  const audio = { channelCount: 1 };
  for (const name of Object.keys(processing)) audio[name] = false;
  let stream;
  try {
    stream = await navigator.mediaDevices.getUserMedia({ audio });
  } catch (e) {
    throw refusal(e);
  }
  const context = new AudioContext({ latencyHint: "interactive" });
  const track = stream.getAudioTracks()[0];
  const close = () => {
    track.stop();
    context.close().catch(() => {});
  };
  try {
    await context.audioWorklet.addModule(await workletAddress("tap.js"));
  } catch (e) {
    close();
    throw problem("this browser can't pass on the microphone's sound", "choose a recording instead");
  }
  const node = new AudioWorkletNode(context, "tap", { numberOfOutputs: 1, channelCount: 1, channelCountMode: "explicit" });
  context.createMediaStreamSource(stream).connect(node);
  node.connect(context.destination); // it stays silent, but has to be asked for sound
  const channel = new MessageChannel();
  node.port.postMessage(channel.port1, [channel.port1]);
  hear(channel.port2, onNews);
  await context.resume();
  track.onended = () => onTrouble("The microphone was taken away. What was heard so far is kept; stop to see it.");
  track.onmute = () => onTrouble("The microphone is muted, perhaps by a call.");
  track.onunmute = () => onTrouble("The microphone is back.");
  return { rate: context.sampleRate, said: told(track), close, resume: () => context.resume() };
}

function problem(message, advice) {
  return Object.assign(new Error(message), { advice });
}

function refusal(e) {
  switch (e.name) {
    case "NotAllowedError":
    case "SecurityError":
      return problem("the microphone is not allowed for this page", "allow it in the browser's settings of this page, or choose a recording");
    case "NotFoundError":
      return problem("no microphone was found", "choose a recording instead");
    case "NotReadableError":
      return problem("another program holds the microphone", "close it and try again");
  }
  return problem(`the microphone can't be opened (${e.message || e.name})`, "choose a recording instead");
}

/** What the browser does to the sound, as it says itself. */
function told(track) {
  const settings = track.getSettings?.() || {};
  const on = [], unknown = [];
  for (const [name, words] of Object.entries(processing)) {
    if (settings[name] === undefined) unknown.push(words);
    else if (settings[name]) on.push(words);
  }
  if (on.length > 0) return `The browser keeps ${on.join(" and ")} on: loud and soft look more alike than they were, so read shares with care.`;
  if (unknown.length > 0) return `The browser does not say whether ${unknown.join(" and ")} ${unknown.length > 1 ? "are" : "is"} off.`;
  return "The microphone's sound comes in untouched: echo cancelling, noise suppression and gain control are off.";
}
