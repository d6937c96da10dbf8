// The bar that says what waits on this phone, and the word beside each form of which something waits.
import { isAway } from "./connection.js";
import { counted } from "./outbox.js";
import { all } from "./outbox_db.js";

const bar = document.getElementById("outbox");
const plural = new Intl.PluralRules(document.documentElement.lang);

export function watchOutbox() {
  for (const event of ["outbox", "network", "shop-answers"]) {
    document.addEventListener(event, draw);
  }
  document.body.addEventListener("htmx:afterSettle", draw);
  draw();
}

async function draw() {
  const records = await all().catch(() => []);
  const says = sentences(records);
  const text = says.join(" ");
  const line = document.getElementById("outbox-says");
  if (line.textContent !== text) {
    line.textContent = text;
  }
  bar.hidden = !text;
  bar.classList.toggle("outbox--refused", records.some((r) => r.state === "refused" && r.who === me()));
  drawLink(records);
  markForms(records);
}

function drawLink(records) {
  const link = bar.querySelector("a");
  const out = document.body.dataset.sender === "" && !isAway() && records.some((record) => record.state === "waiting");
  link.hidden = !records.length || (!out && document.getElementById("waits") !== null);
  link.href = out ? `/login/?next=${encodeURIComponent(location.pathname)}` : "/waiting/";
  link.textContent = out ? bar.dataset.logIn : bar.dataset.see;
}

const me = () => document.body.dataset.sender ?? document.body.dataset.who ?? "";

function sentences(records) {
  const { waiting, refused, told } = counted(records, me());
  const others = records.filter((record) => record.who !== me() && record.state === "waiting");
  const away = isAway();
  const asOf = document.documentElement.dataset.asOf !== undefined; // which says so itself
  return [
    away && !asOf && (me() || records.length) && bar.dataset.away,
    away && me() && !waiting && bar.dataset.keeps,
    waiting && counting("waits", waiting),
    refused && counting("refused", refused),
    told && counting("told", told),
    ...namesOf(others).map((name) => counting("others", others.filter((r) => r.called === name).length, name)),
  ].filter(Boolean);
}

const namesOf = (records) => [...new Set(records.map((record) => record.called))];

function counting(what, n, name = "") {
  const words = bar.dataset[what] ?? bar.dataset[what + (plural.select(n) === "one" ? "One" : "Other")];
  return words.replace("{n}", n).replace("{name}", name);
}

function markForms(records) {
  for (const old of document.querySelectorAll(".kept-here")) {
    old.remove();
  }
  const tag = document.getElementById("sheet")?.dataset.tag;
  for (const record of records) {
    const form = document.getElementById(record.form_id);
    if (form && record.tag === tag && record.state === "waiting" && record.who === me()) {
      const fold = form.closest("details.act-fold")?.querySelector("summary");
      const says = document.createElement(fold ? "span" : "p");
      says.className = "kept-here";
      says.textContent = bar.dataset.kept.replace("{time}", timeOf(record.at));
      fold ? fold.append(says) : form.before(says);
    }
  }
}

export const timeOf = (at) =>
  new Intl.DateTimeFormat(document.documentElement.lang === "en" ? "en-GB" : document.documentElement.lang, {
    hour: "2-digit",
    minute: "2-digit",
    ...(Date.now() - new Date(at) < 12 * 3600 * 1000 ? {} : { day: "numeric", month: "short" }),
    timeZone: document.body.dataset.zone || undefined,
  }).format(new Date(at));
