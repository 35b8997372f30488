// The brew day in the browser: clocks from the wall clock, the keypad, and deeds that wait for the network.

import { byId, newId, say } from "./page.js";

const day = byId("day");
const base = day.dataset.address;
const store = `gylebook ${base}`;
const MINUTE = 60000;
const all = (what, within = day) => [...within.querySelectorAll(what)];
let unkept = "[]"; // where a browser keeps nothing, the page itself does while it is open

// Deeds that are not in the book yet: {id, to, place, what, fields, why}.
function waiting() {
  try { return JSON.parse(localStorage.getItem(store) ?? unkept); } catch { return JSON.parse(unkept); }
}
function keep(deeds) {
  unkept = JSON.stringify(deeds);
  try { localStorage.setItem(store, unkept); } catch { /* kept on the page alone */ }
  show();
}
const drop = (id) => keep(waiting().filter((deed) => deed.id !== id));

/** A moment as the book keeps it: this device's own hour, with its zone. */
function stamp() {
  const now = new Date();
  const zone = -now.getTimezoneOffset();
  const two = (n) => String(Math.trunc(Math.abs(n))).padStart(2, "0");
  const local = new Date(now.getTime() + zone * MINUTE).toISOString().slice(0, 19);
  return `${local}${zone < 0 ? "-" : "+"}${two(zone / 60)}:${two(zone % 60)}`;
}

// --- Which step is present: what the server said, and what waits here on top of it.

function state() {
  const told = byId("present").dataset;
  const began = new Map(all("article[data-began]").map((a) => [a.dataset.id, Date.parse(a.dataset.began)]));
  const now = { present: told.present, event: told.event, began };
  const trail = [{ present: now.present, event: now.event }];
  for (const deed of waiting()) {
    if (deed.why) continue;
    if (deed.to === "step") {
      now.present = deed.fields.step || "over";
      now.event = deed.id;
      if (deed.fields.step) began.set(now.present, Date.parse(deed.fields.at));
      trail.push({ present: now.present, event: now.event });
    } else if (deed.to === "back" && deed.fields.event === now.event) {
      const gone = trail.pop();
      began.delete(gone.present);
      Object.assign(now, trail.at(-1) ?? { present: latest(began), event: "" });
    }
  }
  return now;
}
const latest = (began) => [...began].sort((a, b) => a[1] - b[1]).at(-1)?.[0] ?? "";

function arrange(now) {
  const slot = byId("slot");
  const shown = slot.firstElementChild;
  if (shown.dataset.id !== now.present) {
    const next = all("article.step").find((a) => a.dataset.id === now.present);
    if (next) {
      const home = all(".order > li").find((li) => li.dataset.id === shown.dataset.id);
      (home?.querySelector(".slot") ?? byId("spare")).append(shown);
      slot.append(next);
    }
  }
  for (const li of all(".order > li")) {
    const present = li.dataset.id === now.present;
    if (present === (li.dataset.state === "present")) continue;
    li.dataset.state = present ? "present" : now.began.has(li.dataset.id) ? "passed" : "ahead";
    li.querySelector(".state").textContent = present ? "· now" : now.began.has(li.dataset.id) ? "· done" : "";
  }
  const back = day.querySelector("form.back");
  back.elements.event.value = now.event;
  back.hidden = !now.event;
}

// --- The clock of the present step.

const clock = (ms) => {
  const s = Math.max(Math.floor(ms / 1000), 0);
  const two = (n) => String(n).padStart(2, "0");
  if (s >= 172800) return `${Math.floor(s / 86400)} days`;
  const h = Math.floor(s / 3600);
  const m = Math.floor(s / 60) % 60;
  return h ? `${h}:${two(m)}:${two(s % 60)}` : `${m}:${two(s % 60)}`;
};
function hour(ms) {
  const then = new Date(ms);
  const time = `${String(then.getHours()).padStart(2, "0")}:${String(then.getMinutes()).padStart(2, "0")}`;
  if (then.toDateString() === new Date().toDateString()) return time;
  return `${["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"][then.getDay()]} ${time}`;
}
const start = (a) => Number(a.dataset.start);
const end = (a) => start(a) + Number(a.dataset.minutes);

let last = Date.now();
function tick() {
  const t = Date.now();
  const now = state();
  put(byId("hour"), hour(t));
  const article = byId("slot").firstElementChild;
  const began = now.began.get(now.present);
  // Between the sending of a step and the answer's parts what is shown runs ahead of what is told.
  if (article.dataset.id !== now.present) return;
  if (began === undefined) { last = t; return; }
  const steps = all("article[data-start]").sort((a, b) => a.dataset.number - b.dataset.number);
  const here = steps.indexOf(article);
  const going = steps.slice(0, here).filter((s) => now.began.has(s.dataset.id) && end(s) > start(article) + 0.5);
  // What is to come hangs from the longest step that still goes on: a boil, under its additions.
  const held = [article, ...going].reduce((a, b) => (end(b) > end(a) ? b : a));
  const at = (s) => now.began.get(held.dataset.id) + (start(s) - start(held)) * MINUTE;
  const next = steps[here + 1];
  put(byId("turn"), article.dataset.number);
  const minutes = Number(article.dataset.minutes);
  const ends = minutes > 0 ? began + minutes * MINUTE : undefined;
  const due = next && at(next);
  const target = ends ?? due;
  const face = article.querySelector(".clock");
  if (target !== undefined) {
    face.textContent = clock(Math.abs(target - t));
    face.classList.toggle("over", t > target);
  }
  const told = [];
  if (target !== undefined && t > target) told.push("over by that");
  if (ends) told.push(`${t > ends ? "ended" : "ends"} ${hour(ends)}`);
  if (next) told.push(`then ${next.dataset.title}, ${hour(due)}`);
  put(article.querySelector(".then"), told.join(" · "));
  put(article.querySelector(".beside-it"), going.map((s) =>
    `Beside it: ${s.dataset.title}, until ${hour(now.began.get(s.dataset.id) + Number(s.dataset.minutes) * MINUTE)}.`).join(" "));
  for (const s of steps.slice(here + 1)) {
    put(day.querySelector(`.order > li[data-id="${s.dataset.id}"] .when`), hour(at(s)));
  }
  if (ends && last < ends && ends <= t) ring(`${article.dataset.title}: its time is up.`);
  else if (due && last < due && due <= t) ring(`Now: ${next.dataset.title}`);
  last = t;
}
const put = (place, text) => { if (place && place.textContent !== text) place.textContent = text; };

// --- The bell: a tone once a finger has touched the page, a shake where there is one, and words always.

let sound;
addEventListener("pointerdown", () => { sound ??= new AudioContext(); sound.resume(); });
function ring(words) {
  say(`${words}`, 60);
  if (!byId("bell").checked) return;
  if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.([400, 150, 400]);
  if (!sound) return;
  for (const n of [0, 1, 2]) {
    const tone = sound.createOscillator();
    const loud = sound.createGain();
    const from = sound.currentTime + n * 0.7;
    tone.frequency.value = 880;
    loud.gain.setValueAtTime(0.4, from);
    loud.gain.exponentialRampToValueAtTime(0.001, from + 0.6);
    tone.connect(loud).connect(sound.destination);
    tone.start(from);
    tone.stop(from + 0.6);
  }
}
const stayAwake = () => { if (!document.hidden) navigator.wakeLock?.request("screen").catch(() => {}); };

// --- Deeds: kept here first, then sent in their order; each bears its own id, so twice sent is once written.

day.addEventListener("submit", (event) => {
  const form = event.target;
  const { to, place = "", what } = form.dataset;
  if (!to) return; // pasting is for a page that reaches its server
  event.preventDefault();
  const fields = Object.fromEntries(new FormData(form));
  if (to === "reading" && !fields.value.trim()) {
    say("Nothing is typed yet.");
    form.elements.value.focus();
    return;
  }
  delete fields.page;
  Object.assign(fields, { id: newId(), at: stamp() });
  const deed = { id: fields.id, to, place, what: [what, fields.value].filter(Boolean).join(" "), fields };
  chosen.delete(form.closest("details")?.id);
  if (to === "back" && waiting().some((other) => other.id === fields.event)) {
    drop(fields.event); // it never reached the book: nothing is left to take back
  } else {
    keep([...waiting().filter((other) => !(other.why && place && other.place === place)), deed]);
  }
  if (to === "reading" || to === "withdraw") {
    form.reset();
    all(".wrong", form).forEach((line) => { line.textContent = ""; });
    form.elements.value?.removeAttribute("aria-invalid");
  }
  if (to === "step" || to === "back") {
    byId("main").focus({ preventScroll: true });
    scrollTo({ top: 0, behavior: "instant" }); // a slow way up would end where the answer finds it
  }
  if (to === "reading") wantRemedies = true;
  arrange(state());
  tick();
  flush();
});

let sending = false;
async function flush() {
  if (sending) return;
  sending = true;
  let sent = false;
  for (let deed; (deed = waiting().find((one) => !one.why));) {
    let answer;
    try {
      answer = await fetch(`${base}/${deed.to}`, {
        method: "POST", body: new URLSearchParams(deed.fields), redirect: "manual", headers: { accept: "application/json" },
      });
    } catch { reached = false; break; }
    if (answer.ok) {
      drop(deed.id);
      sent = true;
    } else if (answer.status === 422) {
      const { problems } = await answer.json().catch(() => ({}));
      refuse(deed, problems?.map((p) => [p.understood, p.accepted].filter(Boolean).join(": ")).join(" ") || "The book does not take it.");
      sent = true;
    } else {
      say(answer.type === "opaqueredirect" ? "This device is not paired any more." : "The book cannot take it just now.");
      break;
    }
  }
  sending = false;
  if (sent) await refresh();
  putBack();
  show();
}

/** What the book refuses stays here with the reason, and in its field where that is free, to be mended. */
function refuse(deed, why) {
  keep(waiting().map((one) => (one.id === deed.id ? { ...one, why } : one)));
  say(`Refused: ${why}`, 20);
}
function putBack() {
  for (const deed of waiting().filter((one) => one.why)) {
    const form = all("form[data-place]").find((one) => one.dataset.place === deed.place);
    const field = form?.elements.value;
    if (!field) continue;
    put(form.querySelector(".wrong"), `▲ ${deed.why}`);
    if (field.value !== field.defaultValue || field === document.activeElement) continue;
    for (const name of ["value", "temperature", "instrument", "meter", "reason"]) {
      if (form.elements[name] && deed.fields[name] !== undefined) form.elements[name].value = deed.fields[name];
    }
    field.setAttribute("aria-invalid", "true");
    for (let box = form.closest("details"); box; box = box.parentElement.closest("details")) box.open = true;
  }
}

function show() {
  const place = byId("kept");
  const deeds = waiting();
  place.hidden = !deeds.length || (sending && !deeds.some((one) => one.why) && navigator.onLine);
  const heading = document.createElement("h2");
  heading.textContent = `Kept on this phone: ${deeds.length}`;
  const list = document.createElement("ul");
  for (const deed of deeds) {
    const item = document.createElement("li");
    const line = document.createElement("span");
    line.textContent = `${deed.fields.at.slice(11, 16)} ${deed.what}`;
    item.append(line);
    if (deed.why) {
      line.append(` ▲ refused: ${deed.why}`);
      line.className = "risk";
      const away = document.createElement("button");
      away.type = "button";
      away.textContent = "Let it go";
      away.addEventListener("click", () => { drop(deed.id); refresh(); });
      item.append(away);
    }
    list.append(item);
  }
  place.replaceChildren(heading, list);
  put(byId("reach"), reached ? "" : "The book is out of reach. Clocks and steps go on here, and what you write is kept on this phone.");
}

// --- In step with the others: a number comes when anything was written, then the parts of the page are fetched.

let reached = true;
let wantRemedies = new URLSearchParams(location.search).has("remedies");
let known = "";
let turn = 0;
async function refresh() {
  const mine = ++turn;
  let text;
  try {
    const answer = await fetch(`${base}/part${wantRemedies ? "?remedies=yes" : ""}`);
    if (!answer.ok) return;
    text = await answer.text();
    reached = true;
  } catch { reached = false; show(); return; }
  if (mine === turn && text !== known) { known = text; swap(text); }
  show();
}

const chosen = new Map(); // boxes that somebody opened or closed
day.addEventListener("click", (event) => {
  const box = event.target.closest("summary")?.parentElement;
  if (box?.id) chosen.set(box.id, !box.open);
  const key = event.target.closest("[data-key]");
  if (key) press(key.dataset.key, key.closest("form"));
  if (event.target.id === "ask-remedies") { event.preventDefault(); wantRemedies = true; refresh(); }
});

function swap(text) {
  const said = byId("last")?.dataset.number;
  const focus = document.activeElement;
  const held = day.contains(focus) && focus.id ? { id: focus.id, from: focus.selectionStart, to: focus.selectionEnd } : null;
  const typed = all("input:not([type=hidden]), select, textarea")
    .filter((f) => f.id && (f.type === "checkbox" ? !f.checked : f.tagName === "SELECT" ? f.selectedIndex > 0 : f.value !== f.defaultValue))
    .map((f) => [f.id, f.value]);
  const quiet = byId("bell") && !byId("bell").checked;
  const height = scrollY;
  day.innerHTML = text;
  for (const [id, open] of chosen) { const box = byId(id); if (box) box.open = open; }
  for (const [id, value] of typed) { const field = byId(id); if (field) field.value = value; }
  byId("bell").checked = !quiet;
  arrange(state());
  putBack();
  all("select[name=instrument]").forEach(instrument);
  if (held) {
    const field = byId(held.id);
    for (let box = field?.closest("details"); box; box = box.parentElement.closest("details")) box.open = true;
    field?.focus({ preventScroll: true });
    if (held.from !== null && field?.setSelectionRange) field.setSelectionRange(held.from, held.to);
  }
  scrollTo({ top: height, behavior: "instant" });
  const fresh = byId("last");
  if (fresh && fresh.dataset.number !== said) say(fresh.textContent, 12);
  tick();
}

let line;
function listen() {
  line?.close();
  line = new EventSource(`${base}/events`);
  line.onopen = () => { reached = true; flush(); show(); };
  line.onmessage = (event) => { if (event.data !== day.dataset.newest) { day.dataset.newest = event.data; refresh(); } };
  line.onerror = () => { reached = false; show(); };
}
setInterval(() => {
  if (line.readyState === EventSource.CLOSED) listen();
  if (waiting().some((one) => !one.why)) flush();
}, 5000);
addEventListener("online", () => { listen(); flush(); });
addEventListener("offline", () => { reached = false; show(); });

// --- The keypad, and the instrument that is taken.

function press(key, form) {
  const field = form.elements.value;
  if (key === "back") field.value = field.value.slice(0, -1);
  else if (key === "how") { const box = form.querySelector(".how"); box.open = !box.open; chosen.set(box.id, box.open); }
  else if (key === "later") later(form.closest("details"));
  else field.value += key;
}
function later(box) {
  const beside = all("details.reading", box.parentElement);
  const next = beside[beside.indexOf(box) + 1] ?? beside.find((one) => one !== box);
  box.open = false;
  chosen.set(box.id, false);
  if (next) { next.open = true; chosen.set(next.id, true); }
  say(next ? `Later. Now: ${next.querySelector("strong").textContent}` : "Later.");
}
function instrument(field) {
  const { unit, range } = field.selectedOptions[0].dataset;
  put(field.form.querySelector(".unit"), unit);
  put(field.form.querySelector(".range"), range);
}
day.addEventListener("change", (event) => { if (event.target.name === "instrument") instrument(event.target); });

arrange(state());
tick();
setInterval(tick, 500);
document.addEventListener("visibilitychange", () => { stayAwake(); if (!document.hidden) tick(); });
stayAwake();
show();
putBack();
listen();
