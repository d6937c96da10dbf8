// The queue at work on a page: what is pressed goes into it, what waits is sent, and the bar tells.
import { watchOutbox } from "./outbox_bar.js";
import { keepSending } from "./outbox_send.js";

export { press } from "./outbox_press.js";

watchOutbox();
keepSending();
