// A form of a sheet that is pressed goes onto the phone first and to the shop then: whatever befalls the network, the
// page or the phone in between, it is there, and under the same number it is recorded once.
import { isAway } from "./connection.js";
import { learn } from "./clock.js";
import { isShown } from "./outbox.js";
import { add, all, remove } from "./outbox_db.js";
import { recordsOf, saidIn } from "./outbox_form.js";
import { drain, LOCK, patience } from "./outbox_send.js";
import { freshId } from "./uuids.js";

const AGAIN_MS = 1_500; // an impatient thumb
const TURN_MS = 500;
const pressing = new WeakSet();

export async function press(form, issue) {
  if (pressing.has(form) || !form.reportValidity()) {
    return;
  }
  pressing.add(form);
  form.setAttribute("data-pressed", "");
  try {
    const records = await recordsOf(form);
    if (!records.length) {
      return issue(true); // nothing was chosen: the shop says so
    }
    await keptAndSent(form, records, issue);
  } finally {
    pressing.delete(form);
  }
}

async function keptAndSent(form, records, issue) {
  if (await inTurn(() => keptAndAnswered(form, records, issue))) {
    return;
  }
  if (await kept(form, records)) {
    navigator.storage?.persist?.();
    laidAside(form, records[0]);
    drain();
  } else {
    issue(true);
  }
}

// Runs where nothing else is being sent, and is soon given up where something is: then it joins the queue.
function inTurn(work) {
  const signal = AbortSignal.timeout(TURN_MS);
  return navigator.locks.request(LOCK, { signal }, work).catch((error) => {
    if (error !== signal.reason) {
      throw error;
    }
    return false;
  });
}

// Whether the shop answered at once and the page shows what it said. Not tried behind others that wait, nor from a page
// that is of some time ago.
async function keptAndAnswered(form, records, issue) {
  const before = (await all()).some((record) => record.state === "waiting" && record.who === records[0].who);
  if (before || isAway() || document.getElementById("as-of")?.hidden === false || !(await kept(form, records))) {
    return false;
  }
  if (!isShown(await asked(form, records, issue))) {
    return false;
  }
  await remove(records.map((record) => record.id));
  return true;
}

// Whether they are on the phone now; else that is said beside the form.
async function kept(form, records) {
  try {
    await add(records);
    return true;
  } catch {
    full(form);
    form.removeAttribute("data-pressed");
    return false;
  }
}

function asked(form, records, issue) {
  const began = Date.now();
  const patient = ({ detail }) => (detail.timeout = patience(records.flatMap((record) => record.files)));
  form.addEventListener("htmx:configRequest", patient, { once: true });
  return new Promise((resolve) => {
    // Heard at the form itself, which may have left the page by then.
    form.addEventListener("htmx:afterRequest", ({ detail }) => {
      learn(detail.xhr.getResponseHeader("Date"), began, Date.now());
      resolve(detail.xhr.status);
    }, { once: true });
    issue(true);
  });
}

// The form is free for the next: under a number of its own, empty and closed unless somebody typed on meanwhile.
function laidAside(form, record) {
  const number = form.querySelector('[name="client_id"]');
  number.value = freshId();
  if (JSON.stringify(saidIn(form)) !== JSON.stringify(record.said)) {
    return;
  }
  form.reset();
  form.removeAttribute("data-touched");
  form.removeAttribute("data-refused");
  form.querySelector('[role="alert"]')?.remove();
  form.closest("details.act-fold")?.removeAttribute("open");
  for (const button of form.querySelectorAll("button")) {
    button.disabled = true;
    setTimeout(() => (button.disabled = false), AGAIN_MS);
  }
}

function full(form) {
  const says = document.createElement("p");
  says.className = "errorlist";
  says.setAttribute("role", "alert");
  says.textContent = document.getElementById("outbox").dataset.full;
  form.querySelector(":scope > .errorlist")?.remove();
  form.prepend(says);
}
