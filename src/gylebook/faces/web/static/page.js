// What every page shares: saying things aloud, and sending a form without leaving the page.

export const byId = (id) => document.getElementById(id);

/** Say something at the foot of the page, for eye and screen reader, for a while. */
let silence;
export function say(text, seconds = 6) {
  const place = byId("said");
  place.textContent = text;
  clearTimeout(silence);
  if (seconds) silence = setTimeout(() => { place.textContent = ""; }, seconds * 1000);
}

/** Call `deed` once nothing has happened for `wait` ms. */
export function settled(deed, wait) {
  let timer;
  return (...given) => { clearTimeout(timer); timer = setTimeout(() => deed(...given), wait); };
}

/** An id of our own: a page over plain http on the home network has no crypto.randomUUID. */
export function newId() {
  const b = crypto.getRandomValues(new Uint8Array(16));
  b[6] = (b[6] & 0x0f) | 0x40;
  b[8] = (b[8] & 0x3f) | 0x80;
  const hex = [...b].map((x) => x.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}
