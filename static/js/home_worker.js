// Makes the last opened home pages open without a network. Runs only where the page came over
// https or from this computer; a browser refuses it elsewhere. The network always comes first.
"use strict";
const KEPT = "home-pages";
const MOST = 60; // pages, pictures, fonts

const keepable = (request, answer) =>
  request.method === "GET" && answer.ok && answer.type === "basic" && !request.url.includes(".pdf");

async function keep(request, answer) {
  const cache = await caches.open(KEPT);
  await cache.delete(request);
  await cache.put(request, answer);
  const all = await cache.keys();
  for (const old of all.slice(0, Math.max(0, all.length - MOST))) await cache.delete(old);
}

async function forget(request) {
  // The link was shut or renewed: nothing of it stays readable on this phone.
  const secret = new URL(request.url).pathname.split("/")[2];
  const cache = await caches.open(KEPT);
  for (const each of await cache.keys()) if (each.url.includes(`/${secret}/`)) await cache.delete(each);
}

async function answered(event) {
  const { request } = event;
  try {
    const answer = await fetch(request);
    if (keepable(request, answer)) event.waitUntil(keep(request, answer.clone()));
    if (request.mode === "navigate" && answer.status === 404) event.waitUntil(forget(request));
    return answer;
  } catch (trouble) {
    const kept = await caches.match(request, { ignoreSearch: request.mode === "navigate" });
    if (kept) return kept;
    throw trouble;
  }
}

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(clients.claim()));
self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method === "GET" && url.origin === location.origin) event.respondWith(answered(event));
});
// The first page was loaded before this worker ran: it names itself and what it is made of.
self.addEventListener("message", (event) => event.waitUntil((async () => {
  for (const url of event.data.keep) {
    const request = new Request(url);
    if (new URL(url).origin !== location.origin) continue;
    const answer = await fetch(request).catch(() => null);
    if (answer && keepable(request, answer)) await keep(request, answer);
  }
})()));
