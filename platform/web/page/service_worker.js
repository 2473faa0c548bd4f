// All files of the program are kept at the first visit and come from there ever after. The version is the hash of the
// files; a new one is fetched whole beside the old one and waits until it is wanted.
'use strict';

const VERSION = '@VERSION@';
const FILES = @FILES@;
const NAME = 'beckhand-' + VERSION;

self.addEventListener('install', event => event.waitUntil(
  caches.open(NAME).then(cache => cache.addAll(FILES.map(file => new Request(file, {cache: 'reload'}))))));

self.addEventListener('activate', event => event.waitUntil(
  caches.keys()
    .then(names => Promise.all(names.filter(one => one.startsWith('beckhand-') && one !== NAME).map(one => caches.delete(one))))
    .then(() => self.clients.claim())));

self.addEventListener('message', event => { if (event.data === 'take over') self.skipWaiting(); });

self.addEventListener('fetch', event => {
  const {request} = event;
  if (request.method !== 'GET' || new URL(request.url).origin !== self.location.origin) return;
  const wanted = /\/(index\.html)?$/.test(new URL(request.url).pathname) ? './' : request;
  event.respondWith(caches.open(NAME).then(cache => cache.match(wanted, {ignoreSearch: true})).then(kept => kept || fetch(request)));
});
