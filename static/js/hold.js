// Keeps the reader's place on a sheet that is drawn anew by itself: waits while a form is in use, leaves folds open.
const IN_USE = "details[open] form, form details[open], form[data-touched], form[data-refused], .act :focus";
let open = [];

document.body.addEventListener("input", (event) => {
  event.target.closest("form")?.setAttribute("data-touched", "");
});

document.body.addEventListener("htmx:beforeRequest", (event) => {
  const polled = event.detail.elt;
  if (polled.id === "sheet" && polled.querySelector(IN_USE)) {
    event.preventDefault();
  }
});

document.body.addEventListener("htmx:beforeSwap", (event) => {
  const asked = event.detail.requestConfig.elt;
  const polled = asked.id === "sheet";
  if (polled && asked.querySelector(IN_USE)) {
    event.detail.shouldSwap = false; // somebody began to type while the answer was on its way
    return;
  }
  open = polled ? [...document.querySelectorAll("#sheet details[open][id]")].map((fold) => fold.id) : [];
});

document.body.addEventListener("htmx:afterSwap", () => {
  for (const id of open.splice(0)) {
    document.getElementById(id)?.setAttribute("open", "");
  }
});
