/** Registers the worker that keeps the app's files, and hears of new versions. */

import { hasNoWorkers, workerRefused } from "../store/secure";
import { startHolding, versionWaits } from "../store/version";

const LOOK_AGAIN_MS = 60 * 60_000;

export function startWorker(): void {
  const workers = navigator.serviceWorker as ServiceWorkerContainer | undefined;
  if (workers === undefined) hasNoWorkers(isSecureContext);
  if (workers === undefined || import.meta.env.DEV) return;
  startHolding();
  const controlled = workers.controller !== null;
  let reloaded = false;
  workers.addEventListener("controllerchange", () => {
    if (!controlled || reloaded) return;
    reloaded = true;
    location.reload();
  });
  workers.register("/sw.js").then((registration) => {
    hear(registration);
    setInterval(() => void registration.update().catch(() => undefined), LOOK_AGAIN_MS);
  }, workerRefused);
  void navigator.storage?.persist?.().catch(() => undefined);
}

function hear(registration: ServiceWorkerRegistration): void {
  const announce = (worker: ServiceWorker | null): void => {
    if (worker?.state === "installed" && navigator.serviceWorker.controller !== null) {
      versionWaits(worker);
    }
  };
  announce(registration.waiting);
  registration.addEventListener("updatefound", () => {
    const worker = registration.installing;
    worker?.addEventListener("statechange", () => announce(worker));
  });
}
