// What waits on this phone, as plain values: what goes next, what an answer means, how long to hold back. No browser in
// it. A record: seq (order), id (the sender's number), who, called, tag, state ("waiting", "refused", "told"), tries,
// notBefore, and what was typed.
const FIRST_MS = 2_000;
const LONGEST_MS = 300_000;

// The oldest that may go: of whoever is logged in, and none that overtakes an earlier one of its hull.
export function next(records, who, now) {
  const held = new Set();
  for (const record of [...records].sort((a, b) => a.seq - b.seq)) {
    if (record.state !== "waiting" || record.who !== who) {
      continue;
    }
    if (record.notBefore > now) {
      held.add(record.tag);
    } else if (!held.has(record.tag)) {
      return record;
    }
  }
  return undefined;
}

// When the next could go, ms; Infinity where none waits.
export function wakeAt(records, who) {
  return Math.min(...records.filter((r) => r.state === "waiting" && r.who === who).map((r) => r.notBefore), Infinity);
}

// What the shop's answer means for what was sent.
export function verdict(status) {
  if (status >= 200 && status < 300) {
    return "done";
  }
  if (status === 401) {
    return "log-in";
  }
  if (status === 403) {
    return "forbidden";
  }
  if (status === 409) {
    return "already";
  }
  const later = status < 400 || status >= 500 || [408, 425, 429].includes(status);
  return later ? "later" : "refused";
}

// Whether the page itself shows what the shop answered to a press, as its htmx-config has it; all else the queue tells.
export const isShown = (status) => ["done", "already"].includes(verdict(status)) || status === 422;

// Twice as long after each try in vain, up to five minutes.
export const holdBack = (tries) => Math.min(FIRST_MS * 2 ** (tries - 1), LONGEST_MS);

// A record after an answer; nothing where it is done. words: what the shop said, each {text, warns}.
export function settled(record, status, { words = [], form = "", now = 0 } = {}) {
  const told = { ...record, status, words, form, tries: record.tries + 1 };
  switch (verdict(status)) {
    case "done":
      return words.some((word) => word.warns) ? { ...told, state: "told", files: [] } : undefined;
    case "already":
      return { ...told, state: "told", files: [] };
    case "refused":
      return { ...told, state: "refused" };
    case "forbidden":
      return record.forbidden ? { ...told, state: "refused", forbidden: false } : { ...told, forbidden: true };
    case "log-in":
      return { ...record, notBefore: now + FIRST_MS };
    default:
      return { ...told, notBefore: now + holdBack(told.tries) };
  }
}

// What whoever looks at the phone is told of.
export function counted(records, who) {
  const mine = records.filter((record) => record.who === who);
  return {
    waiting: mine.filter((record) => record.state === "waiting").length,
    refused: mine.filter((record) => record.state === "refused").length,
    told: mine.filter((record) => record.state === "told").length,
    others: records.filter((record) => record.who !== who && record.state === "waiting").length,
  };
}
