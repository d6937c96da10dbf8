// A page that the phone held: its forms get numbers of their own, the one that its address asks for stands open, and it
// is loaded anew once the shop answers, unless somebody is at work on it.
import { isAway } from "./connection.js";
import { freshId } from "./uuids.js";

const IN_USE = "form[data-touched], form[data-refused], .act :focus";
const KEY = "loaded-anew";
const QUIET_MS = 30_000;
const asOf = document.getElementById("as-of");

export function watchKeptPage() {
  if (document.documentElement.dataset.asOf === undefined || !asOf) {
    return;
  }
  for (const number of document.querySelectorAll('form.act [name="client_id"]')) {
    number.value = freshId();
  }
  openAsked(new URLSearchParams(location.search));
  document.addEventListener("shop-answers", () => {
    if (isAway()) {
      return;
    }
    if (document.querySelector(IN_USE) || wasLoadedJustNow()) {
      const again = document.getElementById("as-of-again");
      again.href = location.href;
      again.hidden = false;
    } else {
      location.reload();
    }
  });
}

// A page that is slow to come while small answers are quick would be loaded for ever.
function wasLoadedJustNow() {
  const last = Number(sessionStorage.getItem(KEY) ?? 0);
  if (Date.now() - last < QUIET_MS) {
    return true;
  }
  sessionStorage.setItem(KEY, String(Date.now()));
  return false;
}

function openAsked(asked) {
  const form = document.getElementById(["do", asked.get("do"), asked.get("about")].filter(Boolean).join("-"));
  form?.closest("details")?.setAttribute("open", "");
  for (const name of ["stage", "number"]) {
    const field = form?.elements[name];
    if (field && asked.has(name)) {
      field.value = asked.get(name);
    }
  }
}
