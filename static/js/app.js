// What makes the pages an app: the worker that holds them, and the queue of what waits, loaded when there is use for it.
// Where the browser cannot do both (an address without TLS, say) the pages stay as they are.
import { isAway } from "./connection.js";

const PAGES = "/waiting/pages/";
const LOOK_AGAIN_MS = 5 * 60_000;
const KEY = "pages-looked-at";
const { who, ofTheDay } = document.body.dataset;
const isHeld = document.documentElement.dataset.asOf !== undefined;
const outbox = () => import("./outbox_watch.js");

if (window.isSecureContext && navigator.locks && window.indexedDB) {
  watchForms();
  loadWhereItWaits();
}
if (isHeld) {
  import("./kept_page.js").then(({ watchKeptPage }) => watchKeptPage());
}
if (navigator.serviceWorker && who && !isHeld) {
  holdPages().catch(() => {});
}

function watchForms() {
  document.body.addEventListener("focusin", ({ target }) => target.closest("form.act") && outbox().catch(() => {}));
  document.body.addEventListener("htmx:confirm", (event) => {
    const { elt, issueRequest } = event.detail;
    if (who && elt.matches("form.act:not([data-now])")) {
      event.preventDefault();
      outbox().then(({ press }) => press(elt, issueRequest), () => issueRequest(true));
    }
  });
}

function loadWhereItWaits() {
  const load = () => (isAway() || Number(localStorage.getItem("waits"))) && outbox().catch(() => {});
  document.addEventListener("network", load);
  window.addEventListener("storage", load);
  load();
}

async function holdPages() {
  await navigator.serviceWorker.register("/worker.js", { updateViaCache: "none" });
  const { active } = await navigator.serviceWorker.ready;
  if (ofTheDay !== undefined) {
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
