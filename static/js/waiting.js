// The list of what waits on this phone: what, whose, since when, what became of it; to send again or to throw away.
import { saidIn } from "./outbox_form.js";
import { all, put, remove } from "./outbox_db.js";
import { timeOf } from "./outbox_bar.js";
import { drain, LOCK } from "./outbox_send.js";
import "./outbox_watch.js";

const list = document.getElementById("waits");
const template = document.getElementById("wait");
const NOT_TYPED = ["csrfmiddlewaretoken", "client_id", "pressed_at", "clock_changed"];
const pictures = [];
let drawn = "";
const me = () => document.body.dataset.sender ?? document.body.dataset.who ?? "";

async function draw() {
  if (list.querySelector("form[data-touched], form :focus")) {
    return; // somebody is mending one
  }
  const records = (await all()).sort((a, b) => a.seq - b.seq);
  const seen = JSON.stringify([me(), records.map(({ seq, state, status, tries, form }) => [seq, state, status, tries, form])]);
  if (seen === drawn) {
    return;
  }
  drawn = seen;
  pictures.splice(0).forEach(URL.revokeObjectURL);
  const open = [...list.querySelectorAll(":scope > li > details[open]")].map((fold) => fold.parentElement.dataset.seq);
  list.replaceChildren(...records.map(item));
  for (const seq of open) {
    list.querySelector(`li[data-seq="${seq}"] > details`)?.setAttribute("open", ""); // not shut under a thumb
  }
  document.getElementById("waits-nothing").hidden = records.length > 0;
  document.getElementById("waits-login").hidden = Boolean(me()) || !records.length;
  document.getElementById("waits-send").hidden = !records.some((r) => r.who === me() && r.state === "waiting");
}

function item(record) {
  const entry = template.content.cloneNode(true).firstElementChild;
  const part = (name) => entry.querySelector(`[data-part="${name}"]`);
  const mine = record.who === me();
  entry.dataset.seq = record.seq;
  part("tag").textContent = record.tag;
  part("tag").href = `/hulls/${record.tag}/`;
  part("title").textContent = record.title;
  part("at").textContent = timeOf(record.at);
  part("at").dateTime = record.at;
  part("state").textContent = stateOf(record, mine, part("state").dataset);
  entry.classList.add(`wait--${mine ? record.state : "other"}`);
  if (mine) {
    fill(record, part);
    watchButtons(entry, record);
  }
  part("drop").hidden = !mine || record.state === "told";
  return entry;
}

function stateOf(record, mine, words) {
  if (!mine) {
    return words.other.replaceAll("{name}", record.called);
  }
  return (record.state === "waiting" && record.tries ? words.later : words[record.state]).replace("{n}", record.tries);
}

function fill(record, part) {
  const said = record.words?.length ? record.words.map(({ text }) => text) : [];
  const bare = record.state === "refused" && !record.form && !said.length;
  const words = bare ? [part("words").dataset[`s${record.status}`] ?? part("words").dataset.s400] : said;
  part("words").append(...words.map((text) => made("li", text)));
  if (record.form) {
    part("form").append(mendable(record));
  } else {
    part("said").append(...record.said.flatMap(([label, value]) => row(label, value)));
  }
  part("photos").append(...record.files.map(([, file]) => picture(file)));
}

const made = (name, text) => Object.assign(document.createElement(name), { textContent: text });

function row(label, value) {
  const both = document.createElement("div");
  both.append(made("dt", label), made("dd", value));
  return both;
}

function picture(file) {
  const url = URL.createObjectURL(file);
  pictures.push(url);
  return Object.assign(document.createElement("img"), { src: url, alt: file.name, loading: "lazy" });
}

// The form as the shop sent it back, with what was typed and what stands in the way.
function mendable(record) {
  const form = new DOMParser().parseFromString(record.form, "text/html").querySelector("form");
  for (const name of ["id", "for", "aria-describedby"]) {
    for (const element of form.querySelectorAll(`[${name}]`)) {
      element.setAttribute(name, element.getAttribute(name).replace(/\S+/g, (id) => `${id}-${record.seq}`));
    }
  }
  form.removeAttribute("id");
  form.addEventListener("input", () => form.setAttribute("data-touched", ""));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    form.removeAttribute("data-touched");
    document.activeElement?.blur();
    const sent = [...new FormData(form)].filter(([name]) => !NOT_TYPED.includes(name));
    const files = sent.filter(([, value]) => value instanceof File && value.size);
    const fields = sent.filter(([, value]) => typeof value === "string");
    again({ ...record, said: saidIn(form), fields, files: files.length ? files : record.files });
  });
  return form;
}

function watchButtons(entry, record) {
  const refused = record.state === "refused";
  const shown = { again: refused && !record.form, seen: record.state === "told", drop: true };
  const does = { again: () => again(record), seen: () => remove([record.id]), drop: () => drop(record) };
  for (const button of entry.querySelectorAll("[data-press]")) {
    button.hidden = !shown[button.dataset.press];
    button.addEventListener("click", does[button.dataset.press]);
  }
}

async function again(record) {
  await put({ ...record, state: "waiting", form: "", words: [], tries: 0, notBefore: 0, forbidden: false });
  drain();
}

// Not while it may be on its way.
function drop(record) {
  return navigator.locks.request(LOCK, { ifAvailable: true }, (lock) => lock && remove([record.id]));
}

document.getElementById("waits-send").addEventListener("click", async () => {
  for (const record of await all()) {
    if (record.who === me() && record.state === "waiting" && record.notBefore) {
      await put({ ...record, notBefore: 0 });
    }
  }
  drain();
});
for (const event of ["outbox", "network", "shop-answers"]) {
  document.addEventListener(event, draw);
}
draw();
