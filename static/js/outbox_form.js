// A form of a sheet as it was pressed: what waits on the phone, and the words that tell it from others.
import { known, shopTime } from "./clock.js";
import { derivedId } from "./uuids.js";

const NOT_SENT = ["csrfmiddlewaretoken", "client_id", "pressed_at", "clock_changed"];

// One record, or one for each photo: a hundred of them in one piece would never get through a weak network.
export async function recordsOf(form, now = Date.now()) {
  const data = new FormData(form);
  const id = data.get("client_id");
  const sent = [...data].filter(([name]) => !NOT_SENT.includes(name));
  const files = sent.filter(([, value]) => value instanceof File && value.size);
  const record = {
    who: document.body.dataset.who,
    called: document.body.dataset.called,
    tag: document.getElementById("sheet").dataset.tag,
    title: titleOf(form),
    url: form.getAttribute("action"),
    form_id: form.id,
    said: saidIn(form),
    fields: sent.filter(([, value]) => typeof value === "string"),
    at: data.get("pressed_at") || shopTime(now, known()),
    off: known(),
    state: "waiting",
    tries: 0,
    notBefore: 0,
  };
  if (!form.id.startsWith("do-photo")) {
    return [{ ...record, id, files }];
  }
  const each = files.map(async (file, n) => ({ ...record, id: n ? await derivedId(id, n) : id, files: [file] }));
  return Promise.all(each);
}

// The step, where the form stands at one, and what pressing it does.
function titleOf(form) {
  const step = form.closest("li")?.querySelector("h3");
  const fold = form.closest("details.act-fold")?.querySelector("summary");
  const deed = fold ?? form.querySelector("button");
  return [step, deed].filter(Boolean).map(words).join(": ");
}

// What was typed or chosen, beside what it answers.
export function saidIn(form) {
  return [...form.querySelectorAll("input, select, textarea")].flatMap((control) => {
    const value = valueOf(control);
    const group = control.closest("fieldset");
    const label = (form.contains(group) && group.querySelector("legend")) || control.labels?.[0];
    return value && label ? [[words(label), value]] : [];
  });
}

function valueOf(control) {
  if (["hidden", "file", "submit"].includes(control.type)) {
    return "";
  }
  if (control.type === "checkbox" || control.type === "radio") {
    return control.checked ? words(control.labels[0]) : "";
  }
  return control instanceof HTMLSelectElement ? control.selectedOptions[0]?.text.trim() : control.value.trim();
}

const words = (element) => element.firstChild && [...element.childNodes].filter((n) => n.nodeType === 3).map((n) => n.data.trim()).join(" ").trim();
