// A plan follows the fingers: each change is sent, nothing is kept, and what it gives takes the place of what it gave.
import { byId, say, settled } from "./page.js";

const QUIET = 12; // ms without a key before a change is sent
const THINK = 450; // and before the slower question is asked
const form = () => byId("plan");
let asking = new AbortController();
let changed = form().hasAttribute("data-changed");

const body = (button) => new URLSearchParams(new FormData(form(), button));
const silent = () => say("The book does not answer. What you type stays here.");
const post = (to, signal, button) => fetch(to, { method: "POST", body: body(button), signal });

async function preview() {
  asking.abort();
  asking = new AbortController();
  const { signal } = asking;
  try {
    const answer = await post(`${form().dataset.home}/preview`, signal);
    if (!answer.ok) throw new Error(answer.status);
    const sent = document.createElement("template");
    sent.innerHTML = await answer.text();
    if (!signal.aborted) show(sent.content);
  } catch (trouble) {
    if (trouble.name !== "AbortError") silent();
  }
}

/** Put in what came, leaving folded what was folded; without a forecast the one before stays, marked. */
function show(sent) {
  const folds = [...document.querySelectorAll("#given details[open]")].map((one) => one.dataset.open);
  for (const one of sent.querySelectorAll("details")) one.open = folds.includes(one.dataset.open);
  const given = Boolean(sent.getElementById("forecast"));
  for (const id of ["wrong", "brief", "forecast"]) {
    const come = sent.getElementById(id), gone = byId(id);
    if (come && gone) gone.replaceWith(come);
    else if (come) byId("given").append(come);
  }
  byId("forecast")?.classList.toggle("stale", !given);
  mark();
  if (given) { fill(); if (byId("carries")) asked(); }
}

/** What is wrong stands beside its field, too. */
function mark() {
  const told = {};
  for (const one of document.querySelectorAll("#wrong [data-field]")) told[one.dataset.field] ??= one.querySelector("span").textContent;
  for (const place of form().querySelectorAll("[data-wrong]")) {
    const problem = told[place.dataset.wrong], field = byId(place.id.replace(/-wrong$/, ""));
    place.textContent = problem ? `▲ ${problem}` : "";
    if (problem) field?.setAttribute("aria-invalid", "true"); else field?.removeAttribute("aria-invalid");
  }
  const line = byId("brief"), head = byId("wrong").querySelector("p");
  line?.querySelector(".unread")?.remove();
  if (!line || !head) return;
  const link = Object.assign(document.createElement("a"), { href: "#wrong", textContent: head.textContent });
  const first = Object.assign(document.createElement("span"), { className: "risk unread" });
  first.append(link);
  line.prepend(first);
}

/** Amounts that were found stand beside the fields that were left empty. */
function fill() {
  const found = {};
  for (const one of document.querySelectorAll("#forecast [data-for]")) found[one.dataset.for] = one.textContent;
  for (const place of form().querySelectorAll("[data-solved]")) {
    const path = place.dataset.solved;
    place.textContent = form().elements[`f.${path}`].value ? "" : found[path] ?? "";
  }
}

const asked = settled(async () => {
  const { signal } = asking;
  try {
    const answer = await post(`${form().dataset.home}/carries`, signal);
    const place = byId("carries");
    if (answer.ok && place && !signal.aborted) place.textContent = await answer.text();
  } catch { /* the next change asks again */ }
}, THINK);

/** What takes longer is searched for once it is unfolded, and anew when what is typed has changed the answer. */
const search = settled(async () => {
  const { signal } = asking;
  for (const one of document.querySelectorAll("#given details[open][data-ask]")) {
    const place = one.querySelector(".found"), button = place.querySelector(":scope > button");
    if (!button) continue;
    const before = button.textContent, { ask, key } = one.dataset;
    button.disabled = true;
    button.textContent = "Searching …";
    const sent = body();
    sent.set(ask, key);
    try {
      const answer = await fetch(`${form().dataset.home}/${ask}`, { method: "POST", body: sent, signal });
      if (!answer.ok) throw new Error(answer.status);
      place.innerHTML = await answer.text();
    } catch (trouble) {
      button.disabled = false;
      button.textContent = before;
      if (trouble.name !== "AbortError") silent();
    }
  }
}, THINK);

/** The page as it is drawn of the form as it stands; nothing where the book does not answer. */
async function drawn(button) {
  try {
    return new DOMParser().parseFromString(await (await post(form().action, undefined, button)).text(), "text/html");
  } catch {
    silent();
    return undefined;
  }
}

/** A row more or less, or a fix taken: the form comes back whole, and typing goes on where it changed. */
async function redraw(button) {
  const come = await drawn(button);
  if (!come) return;
  if (!come.getElementById("plan")) { form().submit(); return; }
  const table = button?.value.split(".")[0];
  const first = come.querySelector("[autofocus]");
  first?.removeAttribute("autofocus");
  form().replaceWith(document.adoptNode(come.getElementById("plan")));
  listen();
  const next = first ?? form().querySelector(`[name=add][value="${table}"]`) ?? byId("on");
  const deed = button?.name === "take" && button.getAttribute("aria-label").replace(/^[^:]*: /, "");
  if (deed) {
    byId("note").value ||= deed;
    say(`Taken, and not yet kept: ${deed}.`);
  }
  await preview(); // before it is looked for: what was given may take more or less room then
  next?.focus({ preventScroll: true });
  next?.scrollIntoView({ block: "center", behavior: "instant" });
}

const typed = settled(preview, QUIET);

function listen() {
  form().addEventListener("input", (event) => {
    if (event.target.id === "note") return;
    changed = true;
    if (event.target.id === "on") redraw(); else typed();
  });
  form().addEventListener("submit", (event) => {
    const button = event.submitter;
    const what = button?.name === "do" ? button.value : "row";
    if (what.startsWith("keep")) { changed = false; return; }
    event.preventDefault();
    changed = true;
    if (what === "look") preview();
    else if (button?.closest(".found > button")) search();
    else redraw(button);
  });
  form().querySelector(".look").hidden = true;
  byId("file").closest("details").addEventListener("toggle", whole);
}

/** The file itself is brought up to what the fields say before it is shown. */
async function whole(event) {
  if (!event.target.open || !changed) return;
  const come = await drawn(), base = come?.querySelector("[name=base]");
  if (!base) return;
  form().elements.base.value = base.value;
  byId("file").value = come.getElementById("file").value;
}

byId("given").addEventListener("toggle", (event) => { if (event.target.dataset.ask && event.target.open) search(); }, true);
addEventListener("beforeunload", (event) => { if (changed) event.preventDefault(); });
listen();
if (byId("carries") && !byId("carries").textContent) asked();
