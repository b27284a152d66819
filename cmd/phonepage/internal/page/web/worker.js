// Runs in a worker, after Go's own start-up script. Messages in: the program, questions, a port with
// samples, a file. Messages out: answers by number, and news while listening.
"use strict";

const started = new Promise((resolve) => { globalThis.ready = resolve; });
const reader = new FileReaderSync();

function read(file) {
  return (offset, length) => {
    try {
      return new Uint8Array(reader.readAsArrayBuffer(file.slice(offset, offset + length)));
    } catch {
      return null;
    }
  };
}

function hear(samples) {
  const news = globalThis.clapladder.hear(samples);
  if (news) postMessage({ news: JSON.parse(news) });
}

// Samples that were decoded at once go through the same door as those of a microphone.
function hearAll({ samples, rate, people }) {
  const begun = JSON.parse(clapladder.ask("listen", JSON.stringify({ rate, people })));
  if (begun.wrong) return begun;
  for (let at = 0; at < samples.length; at += rate) clapladder.hear(samples.subarray(at, at + rate));
  return JSON.parse(clapladder.ask("stop", "{}"));
}

function carryOut(m) {
  if (m.file) return JSON.parse(clapladder.file(read(m.file), m.file.size, m.people || 0));
  if (m.samples) return hearAll(m);
  return JSON.parse(clapladder.ask(m.name, m.args));
}

onmessage = async ({ data: m }) => {
  if (m.port) {
    m.port.onmessage = ({ data }) => hear(data);
    return;
  }
  let answer;
  try {
    if (m.wasm) {
      const go = new Go();
      const { instance } = await WebAssembly.instantiate(m.wasm, go.importObject);
      go.run(instance);
      await started;
      answer = { ok: true };
    } else {
      answer = carryOut(m);
    }
  } catch (e) {
    answer = { wrong: { message: String(e.message || e), advice: "reload the page and try again" } };
  }
  postMessage({ id: m.id, answer });
};
