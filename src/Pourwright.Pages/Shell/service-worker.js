// Lets the bench open while the network is away: the page, its scripts and its last picture of the studio are kept. What is
// recorded is not kept here but in the page's own log (store.js). The network is always asked first.
const cacheName = 'pourwright-VERSION';
const kept = url => url.pathname.startsWith('/assets/') || /^\/studios\/[^/]+\/bench\/[^/]+$/.test(url.pathname);

self.addEventListener('install', event => event.waitUntil(self.skipWaiting()));

self.addEventListener('activate', event => event.waitUntil(
  caches.keys()
    .then(names => Promise.all(names.filter(name => name !== cacheName).map(name => caches.delete(name))))
    .then(() => self.clients.claim())));

self.addEventListener('fetch', event => {
  const url = new URL(event.request.url);
  if (event.request.method !== 'GET' || url.origin !== location.origin || !kept(url)) return;
  event.respondWith(answer(event.request));
});

async function answer(request) {
  const cache = await caches.open(cacheName);
  try {
    const fresh = await fetch(request);
    if (fresh.ok) await cache.put(request, fresh.clone());
    return fresh;
  } catch (error) {
    const last = await cache.match(request);
    if (last) return last;
    throw error;
  }
}
