// What makes the pages an app: the worker that holds them, and the queue of what waits. Where the browser cannot do both
// (an address without TLS, say) the pages stay as they are.
import { watchKeptPage } from "./kept_page.js";
import { watchOutbox } from "./outbox_bar.js";
import { watchForms } from "./outbox_press.js";
import { keepSending } from "./outbox_send.js";

const PAGES = "/waiting/pages/";
const LOOK_AGAIN_MS = 5 * 60_000;
const KEY = "pages-looked-at";

if (window.isSecureContext && navigator.locks && window.indexedDB) {
  watchForms();
  watchOutbox();
  keepSending();
}
watchKeptPage();
if (navigator.serviceWorker && document.body.dataset.who) {
  holdPages().catch(() => {});
}

async function holdPages() {
  await navigator.serviceWorker.register("/worker.js", { updateViaCache: "none" });
  const { active } = await navigator.serviceWorker.ready;
  const { who, ofTheDay } = document.body.dataset;
  if (ofTheDay !== undefined && document.documentElement.dataset.asOf === undefined) {
    active.postMessage({ who, keep: [{ path: location.pathname, stamp: String(Date.now()) }] });
  }
  const [lastWho, lastAt] = (localStorage.getItem(KEY) ?? " 0").split(" ");
  if (lastWho !== who || Date.now() - Number(lastAt) > LOOK_AGAIN_MS) {
    const answer = await fetch(PAGES, { headers: { "HX-Request": "true" } });
    if (answer.ok) {
      const { pages } = await answer.json();
      active.postMessage({ who, keep: pages, whole: true });
      localStorage.setItem(KEY, `${who} ${Date.now()}`);
    }
  }
}
