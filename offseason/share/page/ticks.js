// Ticks: kept by this browser under the winter, by the id of the entry, with the line that records it.
const KEY = `offseason:${document.body.dataset.winter}`;
const KEY_SENT = `${KEY}:sent`;
let held = {};
let sent = {}; // by id, the lines that were copied, each with its pieces: also after the ticks were taken away
let keeps = true;
const isTick = (one) => one && typeof one.line === "string" && typeof one.at === "string";
const isSent = (lines) => Array.isArray(lines)
  && lines.every((one) => one && typeof one.line === "string" && Number.isInteger(one.pieces));
function load() {
  try {
    const found = JSON.parse(localStorage.getItem(KEY) ?? "{}");
    held = Object.fromEntries(Object.entries(found ?? {}).filter(([, one]) => isTick(one)));
    const before = JSON.parse(localStorage.getItem(KEY_SENT) ?? "{}");
    sent = Object.fromEntries(Object.entries(before ?? {}).filter(([, lines]) => isSent(lines)));
  } catch (error) {
    if (!(error instanceof SyntaxError)) keeps = false;
  }
}
function keep() {
  try {
    if (Object.keys(held).length) localStorage.setItem(KEY, JSON.stringify(held));
    else localStorage.removeItem(KEY);
    if (Object.keys(sent).length) localStorage.setItem(KEY_SENT, JSON.stringify(sent));
  } catch { keeps = false; }
  sayKept();
}
function sayKept() {
  byId("kept").textContent = keeps ? "" :
    "This browser keeps nothing: ticks are gone once the page is closed. Copy the text and send it before.";
}
const entryOf = new Map(entries.map((item) => [item.el.id.slice(2), item.el]));

function lineOf(one, pieces, more = "") {
  // what is done before its day is written with the day of the tick: a day to come is not recorded
  const ticked = isoOf(new Date(one.at));
  const day = one.line.slice(0, 10);
  let line = one.line;
  if (pieces !== undefined) line = line.slice(0, one.place) + pieces + line.slice(one.place + String(one.of).length);
  const early = day > ticked && /^\d{4}-\d\d-\d\d /.test(line);
  if (early) line = ticked + line.slice(10);
  return line.replace(/"planned ([^"]*)"$/, (_, at) => `"planned ${early ? `${day} ` : ""}${at}${more}"`);
}
function linesOf(id) {
  // lines sent before stand here again as they were, and are recorded once; what is different now is a line of its own
  const one = held[id];
  const counted = Number.isInteger(one.place) && Number.isInteger(one.of) && one.line.startsWith(String(one.of), one.place);
  const pieces = counted ? one.done ?? one.of : 1;
  const before = sent[id] ?? [];
  if (!before.length) return [{ line: lineOf(one, counted ? pieces : undefined), pieces }];
  const said = before.reduce((sum, line) => sum + line.pieces, 0);
  if (!counted || said === pieces) return before;
  const more = `, ${Math.abs(pieces - said)} ${pieces > said ? "more" : "fewer"} than the ${said} sent before`;
  return [...before, { line: lineOf(one, pieces - said, more), pieces: pieces - said }];
}
function markSent() {
  for (const id of Object.keys(held)) sent[id] = linesOf(id);
  keep();
}
function sayTicks() {
  const ids = Object.keys(held);
  const there = ids.filter((id) => entryOf.has(id) && !("done" in entryOf.get(id).dataset));
  const elsewhere = ids.filter((id) => !entryOf.has(id));
  const recorded = ids.length - there.length - elsewhere.length;
  const lines = (some) => some.map((id) => linesOf(id).map((one) => one.line)).sort((a, b) => (a[0] < b[0] ? -1 : 1)).flat();
  const text = lines(there);
  if (elsewhere.length) text.push("# ticked on an older page; no longer on this one:", ...lines(elsewhere));
  const area = byId("text");
  area.value = text.join("\n");
  area.rows = Math.min(14, Math.max(4, text.length + 1));
  const count = there.length + elsewhere.length;
  byId("send-told").textContent = count
    ? `${countText(text.filter((line) => !line.startsWith("#")).length, "line")} for whoever keeps the plan. What is done before its day is written with the day of the tick.`
    : "Tick what is done. A line for each tick stands here; send them to whoever keeps the plan.";
  if (ids.some((id) => sent[id])) {
    byId("send-told").append(" Lines copied before stand here again, so that nothing counts twice: send all of them.");
  }
  if (recorded) byId("send-told").append(` ${countText(recorded, "tick")} of before: recorded already, not listed again.`);
  byId("copy").disabled = !count;
  byId("afresh").disabled = !ids.length;
  const bar = byId("bar");
  bar.hidden = !count;
  bar.firstChild.textContent = `${count.toLocaleString("en")} ticked: text to send back`;
}
function showTick(id, el) {
  const one = held[id];
  const box = el.querySelector("input[type=checkbox]");
  if (!box) return;
  if (box.checked !== Boolean(one)) box.checked = Boolean(one);
  const { pieces, at, step, lot } = el.dataset;
  const number = el.querySelector(".n");
  if (one && !number && at !== undefined) {
    const label = make("label", "Done ", { class: "n" });
    const field = make("input", undefined, { type: "number", min: "1", max: pieces, inputmode: "numeric" });
    field.value = one.done ?? pieces;
    label.append(field, step === lot ? ` of ${pieces} equal parts` : ` of ${pieces}`);
    el.append(label);
  } else if (!one && number) number.remove();
  else if (number && document.activeElement !== number.firstElementChild) number.firstElementChild.value = one.done ?? pieces;
}
function showTicks() {
  for (const [id, el] of entryOf) if (held[id] || el.querySelector("input:checked")) showTick(id, el);
  sayTicks();
  sayKept();
}
byId("work").addEventListener("change", (event) => {
  const el = event.target.closest("li.entry");
  if (!el || event.target.type !== "checkbox") return;
  const id = el.id.slice(2);
  if (keeps) load();
  if (event.target.checked) {
    const { record, pieces, at } = el.dataset;
    held[id] = { line: record, of: Number(pieces), place: Number(at ?? -1), at: new Date().toISOString() };
  } else delete held[id];
  keep();
  showTick(id, el);
  sayTicks();
});
byId("work").addEventListener("input", (event) => {
  if (event.target.type !== "number") return;
  const el = event.target.closest("li.entry");
  const one = held[el.id.slice(2)];
  const done = Number(event.target.value);
  const right = Number.isInteger(done) && done >= 1 && done <= Number(el.dataset.pieces);
  event.target.setAttribute("aria-invalid", String(!right));
  if (!one || !right) return;
  one.done = done;
  keep();
  sayTicks();
});
byId("work").addEventListener("focusout", (event) => {
  if (event.target.type !== "number") return;
  const el = event.target.closest("li.entry");
  event.target.value = held[el.id.slice(2)]?.done ?? el.dataset.pieces;
  event.target.removeAttribute("aria-invalid");
});
byId("afresh").addEventListener("click", () => {
  if (!confirm("Were the lines sent? All ticks on this page are taken away.")) return;
  markSent();
  held = {};
  keep();
  showTicks();
  byId("copied").textContent = "Started afresh: no ticks.";
});
byId("copy").addEventListener("click", async () => {
  const area = byId("text");
  let copied = false;
  markSent();
  sayTicks();
  try {
    await navigator.clipboard.writeText(area.value);
    copied = true;
  } catch {
    area.focus();
    area.select();
    try { copied = document.execCommand("copy"); } catch { copied = false; }
  }
  byId("copied").textContent = copied ? "Copied. Paste it into a message." : "The text is marked: copy it by hand.";
});
addEventListener("storage", (event) => {
  if (![KEY, KEY_SENT, null].includes(event.key)) return;
  load();
  showTicks();
});
load();
showTicks();
