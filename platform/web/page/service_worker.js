// All files of the program are kept at the first visit and come from there ever after. The version is the hash of the
// files; a new one is fetched whole beside the old one and waits until it is wanted. A browser puts a new worker to work
// by itself once no page is open: which version is given out is therefore noted in a place of its own.
'use strict';

const VERSION = '@VERSION@';
const FILES = @FILES@;
const NAME = 'beckhand-' + VERSION;
const NOTE = 'beckhand-chosen', KEY = './chosen';

const chosen = async () => {
  const note = await (await caches.open(NOTE)).match(KEY);
  return note ? note.text() : '';
};
const choose = async () => (await caches.open(NOTE)).put(KEY, new Response(NAME));

async function clear(kept) {
  const names = await caches.keys();
  await Promise.all(names.filter(one => one.startsWith('beckhand-') && !kept.includes(one)).map(one => caches.delete(one)));
}

self.addEventListener('install', event => event.waitUntil((async () => {
  await (await caches.open(NAME)).addAll(FILES.map(file => new Request(file, {cache: 'reload'})));
  if (!await chosen()) await choose();
})()));

self.addEventListener('activate', event => event.waitUntil((async () => {
  await clear([NAME, NOTE, await chosen()]);
  await self.clients.claim();
})()));

// The page asks whether this worker has another version than is given out, or wants it to be given out.
self.addEventListener('message', event => event.waitUntil((async () => {
  if (event.data === 'take over') {
    await choose();
    if (!self.registration.installing) await clear([NAME, NOTE]);
    await self.skipWaiting();
  }
  event.ports[0].postMessage(await chosen() !== NAME);
})()));

self.addEventListener('fetch', event => {
  const {request} = event;
  if (request.method !== 'GET' || new URL(request.url).origin !== self.location.origin) return;
  const wanted = /\/(index\.html)?$/.test(new URL(request.url).pathname) ? './' : request;
  event.respondWith((async () => {
    const kept = await (await caches.open(await chosen() || NAME)).match(wanted, {ignoreSearch: true});
    return kept || fetch(request);
  })());
});
