// Sends what waits, one after the other, from one page at a time; never under another's name.
import { learn, wasChanged } from "./clock.js";
import { missed, reached } from "./connection.js";
import * as outbox from "./outbox.js";
import { all, put, remove } from "./outbox_db.js";

export const LOCK = "outbox";
const WHO = "/waiting/who/";
const ANSWER_MS = 20_000;
const BYTES_A_MS = 20; // the slowest network that is worth waiting for
let asked;
let timer;

export const patience = (files) => ANSWER_MS + files.reduce((sum, [, file]) => sum + file.size, 0) / BYTES_A_MS;

// Sends all that can go now; called again while it runs, it is the same run and one more look at its end.
export function drain() {
  asked ??= navigator.locks.request(LOCK, () => {
    asked = undefined;
    return sendAll().catch(() => wake(Date.now() + ANSWER_MS));
  });
  return asked;
}

// Who is logged in, a token, and how far the phone's clock is off; nothing where the shop does not answer.
async function whoIsThere() {
  const began = Date.now();
  try {
    const answer = await fetch(WHO, { cache: "no-store", signal: AbortSignal.timeout(ANSWER_MS) });
    const me = answer.ok ? await answer.json() : null;
    return me && { ...me, off: learn(answer.headers.get("Date"), began, Date.now()) };
  } catch {
    return null;
  }
}

async function sendAll() {
  if (!(await all()).some((record) => record.state === "waiting")) {
    return;
  }
  let me = await whoIsThere();
  while (me?.who) {
    const record = outbox.next(await all(), me.who, Date.now());
    if (!record) {
      break;
    }
    const answer = await sent(record, me);
    const after = outbox.settled(record, answer.status, { ...answer, now: Date.now() });
    await (after ? put(after) : remove([record.id]));
    if (!answer.status) {
      missed();
      return wake(after.notBefore);
    }
    me = [401, 403].includes(answer.status) ? await whoIsThere() : me;
  }
  (me ? reached : missed)();
  if (me) {
    document.body.dataset.sender = me.who;
    document.dispatchEvent(new Event("shop-answers"));
  }
  wake(me?.who ? outbox.wakeAt(await all(), me.who) : Date.now() + ANSWER_MS);
}

function wake(at) {
  clearTimeout(timer);
  if (at !== Infinity) {
    timer = setTimeout(drain, Math.max(at - Date.now(), 500));
  }
}

async function sent(record, me) {
  const body = new FormData();
  const late = { client_id: record.id, pressed_at: record.at, who: record.who };
  if (wasChanged(record.off, me.off)) {
    late.clock_changed = "on";
  }
  for (const [name, value] of [...record.fields, ...record.files, ...Object.entries(late)]) {
    body.append(name, value);
  }
  const headers = { "HX-Request": "true", "X-Kept": "act", "X-CSRFToken": me.token };
  try {
    const signal = AbortSignal.timeout(patience(record.files));
    const answer = await fetch(record.url, { method: "POST", body, headers, signal, redirect: "manual" });
    return { status: answer.status, ...read(await answer.text()) };
  } catch {
    return { status: 0 };
  }
}

// What the shop said, and the form with what was typed where it sent that back.
function read(html) {
  const page = new DOMParser().parseFromString(html, "text/html");
  const said = [...page.querySelectorAll(".messages li")];
  return {
    words: said.map((item) => ({ text: item.textContent.trim(), warns: item.classList.contains("warning") })),
    form: page.querySelector("form.act")?.outerHTML ?? "",
  };
}

export function keepSending() {
  for (const event of ["online", "pageshow", "focus"]) {
    window.addEventListener(event, drain);
  }
  document.addEventListener("visibilitychange", () => document.hidden || drain());
  drain();
}
