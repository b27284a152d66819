// The scorer: a worker that runs the Go program, asked by name.

import { unpacked, workerAddress } from "clapladder/assets.js";

let worker;
let waiting = new Map();
let number = 0;
let told = () => {};

/** Starts the worker; resolves when the scorer is ready. */
export async function start() {
  const [wasm, address] = await Promise.all([unpacked("scorer.wasm.gz"), workerAddress("worker.js")]);
  worker = new Worker(address);
  worker.onmessage = ({ data }) => {
    if (data.news) return told(data.news);
    const answer = waiting.get(data.id);
    waiting.delete(data.id);
    if (answer) finish(answer, data.answer);
  };
  worker.onerror = (event) => {
    for (const answer of waiting.values()) answer.reject(new Error(event.message || "the scorer stopped"));
    waiting = new Map();
  };
  await send({ wasm }, [wasm]);
}

/** Ends the worker, with whatever it is doing, and starts a new one. */
export async function restart() {
  worker.terminate();
  for (const answer of waiting.values()) answer.reject(Object.assign(new Error("stopped"), { stopped: true }));
  waiting = new Map();
  await start();
}

function finish({ resolve, reject }, answer) {
  if (answer?.wrong) reject(Object.assign(new Error(answer.wrong.message), answer.wrong));
  else resolve(answer?.ok);
}

function send(message, transfer = []) {
  return new Promise((resolve, reject) => {
    message.id = ++number;
    waiting.set(message.id, { resolve, reject });
    worker.postMessage(message, transfer);
  });
}

/** Asks a command; what goes wrong is thrown with message and advice. */
export const ask = (name, args = {}) => send({ name, args: JSON.stringify(args) });

/** Listens to a file. */
export const askFile = (file, people) => send({ file, people });

/** Listens to samples that the browser decoded. */
export const askSamples = (samples, rate, people) => send({ samples, rate, people }, [samples.buffer]);

/** Hands the scorer the end of a channel on which samples come, and hears its news. */
export function hear(port, onNews) {
  told = onNews;
  worker.postMessage({ port }, [port]);
}
