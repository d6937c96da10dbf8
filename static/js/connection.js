// Says so when the shop gave no answer; what was typed stays, and a second sending is recorded once.
const notice = document.getElementById("no-answer");

for (const event of ["htmx:sendError", "htmx:timeout", "htmx:responseError"]) {
  document.body.addEventListener(event, () => {
    notice.hidden = false;
  });
}

document.body.addEventListener("htmx:afterOnLoad", (event) => {
  if (event.detail.successful) {
    notice.hidden = true;
  }
});
