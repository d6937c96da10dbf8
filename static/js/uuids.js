// Senders' numbers: a fresh one, and those that follow from it for photos that were chosen together.
export const freshId = () => crypto.randomUUID();

// UUID version 5 (RFC 9562) of a number below another UUID, as the server derives it for the second photo and on.
export async function derivedId(id, n) {
  const bytes = new Uint8Array([
    ...id.replaceAll("-", "").match(/../g).map((pair) => parseInt(pair, 16)),
    ...new TextEncoder().encode(String(n)),
  ]);
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-1", bytes)).slice(0, 16);
  digest[6] = (digest[6] & 0x0f) | 0x50;
  digest[8] = (digest[8] & 0x3f) | 0x80;
  const hex = [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}
