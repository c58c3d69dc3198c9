/// <reference lib="webworker" />
/**
 * The retiring worker. To take Cowlside off the phones that saved it, serve this file as sw.js in place of the
 * other one, with `Cache-Control: no-cache`, for as long as old phones may still come by. It deletes the saved
 * copies and unregisters itself; the next opening but one comes from the network. What the person entered
 * (IndexedDB) is left alone. Answering 404 for sw.js instead would leave the old version on every phone.
 */
const retiring = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
const OWN_PREFIX = `cowlside:${encodeURIComponent(new URL(retiring.registration.scope).pathname)}:`;

async function retire() {
  const own = (await caches.keys()).filter((name) => name.startsWith(OWN_PREFIX));
  await Promise.all(own.map((name) => caches.delete(name)));
  await retiring.registration.unregister();
  const pages = await retiring.clients.matchAll({ type: "window", includeUncontrolled: true });
  for (const page of pages) page.postMessage({ type: "retired" });
}

retiring.addEventListener("install", (event) => event.waitUntil(retiring.skipWaiting()));
retiring.addEventListener("activate", (event) => event.waitUntil(retire()));
// Pages of the retired release still ask: they get a plain answer instead of waiting for one.
retiring.addEventListener("message", (event) => event.ports[0]?.postMessage({ type: "retired" }));
