// Whether the shop answers, as the last request found it; and what to say of a form that nobody keeps.
const noAnswer = document.getElementById("no-answer");
const loggedOut = document.getElementById("logged-out");
let away = !navigator.onLine;

export const isAway = () => away || !navigator.onLine;
export const reached = () => turned(false);
export const missed = () => turned(true);

function turned(now) {
  if (now !== away) {
    away = now;
    document.dispatchEvent(new Event("network"));
  }
}

window.addEventListener("offline", missed);
window.addEventListener("online", reached); // as far as the phone knows; the next request tells

for (const event of ["htmx:sendError", "htmx:timeout", "htmx:responseError"]) {
  document.body.addEventListener(event, ({ detail }) => {
    const status = detail.xhr?.status ?? 0;
    (status ? reached : missed)();
    const polled = detail.requestConfig?.verb === "get" && document.body.dataset.who;
    if (!polled && !detail.elt.hasAttribute("data-pressed")) {
      loggedOut.hidden = status !== 401;
      noAnswer.hidden = !loggedOut.hidden;
    }
  });
}

document.body.addEventListener("htmx:afterOnLoad", ({ detail }) => {
  reached();
  document.dispatchEvent(new Event("shop-answers"));
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
