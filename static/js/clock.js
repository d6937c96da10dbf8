// The phone's clock against the shop's: how far it is off, learnt from the date of each answer.
const KEY = "clock-off-ms";
const SLOW_MS = 10_000; // an answer that took longer says too little
const CHANGED_MS = 120_000;

// The date of an answer is in whole seconds, and was written somewhere between asking and hearing.
export function offBy(date, asked, heard) {
  const at = Date.parse(date);
  return Number.isNaN(at) || heard - asked > SLOW_MS ? null : Math.round(at + 500 - (asked + heard) / 2);
}

export function learn(date, asked, heard) {
  const off = offBy(date, asked, heard);
  if (off !== null) {
    localStorage.setItem(KEY, String(off));
  }
  return known();
}

export const known = () => Number(localStorage.getItem(KEY) ?? 0);

// The moment by the shop's clock.
export const shopTime = (now, off) => new Date(now + off).toISOString();

// Whether a clock was put forward or back between two looks at it.
export const wasChanged = (before, after) => Math.abs(after - before) > CHANGED_MS;
