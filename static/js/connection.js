// Says so when the shop gave no answer, or knows nobody any more; what was typed stays, and a second sending is
// recorded once.
const noAnswer = document.getElementById("no-answer");
const loggedOut = document.getElementById("logged-out");

for (const event of ["htmx:sendError", "htmx:timeout", "htmx:responseError"]) {
  document.body.addEventListener(event, ({ detail }) => {
    loggedOut.hidden = detail.xhr?.status !== 401;
    noAnswer.hidden = !loggedOut.hidden;
  });
}

document.body.addEventListener("htmx:afterOnLoad", ({ detail }) => {
  if (detail.successful) {
    noAnswer.hidden = loggedOut.hidden = true;
  }
});

// A log-in on another page renews the token that forms are sent with.
document.body.addEventListener("htmx:configRequest", ({ detail }) => {
  const token = /(?:^|; )csrftoken=([^;]+)/.exec(document.cookie)?.[1];
  if (token && detail.verb !== "get") {
    detail.headers["X-CSRFToken"] = detail.parameters.csrfmiddlewaretoken = token;
  }
});
