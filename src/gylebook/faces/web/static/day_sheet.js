// The day in one file: clocks from the wall clock, fields that are kept on this phone, readings as text.
const all = (what, within = document) => [...within.querySelectorAll(what)];
const store = document.body.dataset.store;
let kept = {};
try { kept = JSON.parse(localStorage.getItem(store)) || {}; } catch { /* kept while it is open */ }
const keep = () => { try { localStorage.setItem(store, JSON.stringify(kept)); } catch { /* likewise */ } };
const two = (n) => String(Math.trunc(Math.abs(n))).padStart(2, "0");
const newId = () => {
  const b = crypto.getRandomValues(new Uint8Array(16));
  b[6] = (b[6] & 15) | 64; b[8] = (b[8] & 63) | 128;
  const x = [...b].map((n) => n.toString(16).padStart(2, "0")).join("");
  return `${x.slice(0, 8)}-${x.slice(8, 12)}-${x.slice(12, 16)}-${x.slice(16, 20)}-${x.slice(20)}`;
};
const stamp = () => {
  const zone = -new Date().getTimezoneOffset();
  return new Date(Date.now() + zone * 60000).toISOString().slice(0, 19) + (zone < 0 ? "-" : "+") + two(zone / 60) + ":" + two(zone % 60);
};
const hour = (ms) => { const d = new Date(ms); return `${two(d.getHours())}:${two(d.getMinutes())}`; };
const quoted = (text) => `"${text.replace(/[\\"]/g, "\\$&").replace(/\s+/g, " ")}"`;
const bare = (text) => /^\s*((above|below|>|<)\s*)?[\d.,]+\s*$/.test(text);
const say = (text) => { document.getElementById("said").textContent = text; };

kept.begun ||= {}; kept.read ||= {};
function tick() {
  const begun = Object.entries(kept.begun).sort((a, b) => a[1] - b[1]);
  const now = begun.at(-1)?.[0];
  for (const step of all("section[data-id]")) {
    const at = kept.begun[step.dataset.id];
    step.toggleAttribute("data-now", step.dataset.id === now);
    const ends = at + step.dataset.minutes * 60000, left = ends - Date.now();
    const s = Math.floor(Math.abs(left) / 1000);
    const run = at && step.dataset.minutes > 0 && left > -7200000;
    step.querySelector(".clock").textContent = run ? `${left < 0 ? "+" : ""}${s >= 3600 ? `${Math.floor(s / 3600)}:` : ""}${two((s / 60) % 60)}:${two(s % 60)}` : "";
    step.querySelector(".when").textContent = at ? `begun ${hour(at)}${step.dataset.minutes > 0 ? `, ends ${hour(ends)}` : ""}` : "";
  }
}
document.addEventListener("click", (event) => {
  const id = event.target.dataset.begin;
  if (id) { kept.begun[id] = Date.now(); keep(); tick(); }
});
for (const field of all("input[data-place]")) {
  const mine = kept.read[field.dataset.place] || {};
  field.value = mine[field.name] || "";
  field.addEventListener("input", () => {
    const read = (kept.read[field.dataset.place] ||= {});
    // Another value is another reading: what was pasted back already keeps its own id.
    if (field.name === "value" || !read.id) Object.assign(read, { id: newId(), at: stamp() });
    read[field.name] = field.value;
    keep();
  });
}
document.getElementById("copy").addEventListener("click", async () => {
  const text = all("input[name=value]").filter((f) => f.value.trim()).map((f) => {
    const { step, quantity, instrument, unit, warm, place } = f.dataset;
    const read = kept.read[place];
    const lines = [`step = ${quoted(step)}`, `quantity = "${quantity}"`, `value = ${quoted(bare(f.value) ? `${f.value.trim()} ${unit}` : f.value)}`,
      `instrument = ${quoted(instrument)}`, `at = "${read.at}"`, `id = "${read.id}"`];
    if (read.warm?.trim()) lines.push(`temperature = ${quoted(bare(read.warm) ? `${read.warm.trim()} ${warm}` : read.warm)}`);
    else if (quantity === "ph") lines.push('meter = "cooled"');
    return `[[reading]]\n${lines.join("\n")}\n`;
  }).join("\n");
  const out = document.getElementById("text");
  out.value = text;
  out.select();
  try { await navigator.clipboard.writeText(text); say("Copied."); } catch { say("Copy the text below."); }
});
tick();
setInterval(tick, 500);
