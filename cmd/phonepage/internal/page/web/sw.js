// Keeps the page's parts on the phone. VERSION is a sum of all of them: a new one is fetched whole,
// beside the old, and takes its place when the leader says so or the page is next opened.
"use strict";

const prefix = "clapladder-";
const version = `${prefix}VERSION`;
const parts = PARTS;

addEventListener("install", (event) => {
  event.waitUntil(caches.open(version).then((cache) => cache.addAll(parts.map((part) => new Request(part, { cache: "reload" })))));
});

addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) if (name.startsWith(prefix) && name !== version) await caches.delete(name);
    await clients.claim();
  })());
});

addEventListener("message", ({ data }) => { if (data === "take over") skipWaiting(); });

addEventListener("fetch", (event) => {
  if (event.request.method !== "GET" || new URL(event.request.url).origin !== location.origin) return;
  event.respondWith((async () => {
    const cache = await caches.open(version);
    const wanted = event.request.mode === "navigate" ? "./" : event.request;
    return (await cache.match(wanted, { ignoreSearch: true })) || fetch(event.request);
  })());
});
