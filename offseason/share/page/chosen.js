// What was chosen: what is hidden and said because of it, and the address that holds it.
function hideOthers() {
  const { who } = shownNow;
  for (const item of items) {
    const hidden = !inDays(item.day) || (who ? item.also || !item.who.includes(who) : false);
    if (item.el.hidden !== hidden) item.el.hidden = hidden;
  }
  const box = byId(shownNow.view === "day" ? "by-day" : "by-other");
  for (const part of all(".of, .day, .group, .gone", box)) part.hidden = !part.querySelector("li:not([hidden])");
}
function sayCount() {
  const seen = entries.filter((item) => !item.el.hidden && !folded(item.day));
  const gone = entries.filter((item) => !item.el.hidden && folded(item.day)).length;
  const on = new Set(seen.map((item) => item.day)).size;
  const said = byId("said");
  const words = seen.length ? `Shown: ${countText(seen.length, "entry")} on ${countText(on, "day")}` : "Nothing to show";
  said.textContent = words;
  if (shownNow.who) said.append(" for ", nameOf(plain(shownNow.who)));
  said.append(gone ? `; ${countText(gone, "entry")} of days gone by are folded below.` : ".");
  if (shownNow.unknown) {
    said.prepend("Nobody in this plan is called ", nameOf(plain(shownNow.unknown)), ". Everybody is shown. ");
  }
}
function sayToday() {
  const mine = entries.filter((item) => !shownNow.who || item.who.includes(shownNow.who));
  const next = mine.reduce((found, item) => (item.day >= today && (!found || item.day < found) ? item.day : found), "");
  const told = byId("today-told");
  byId("h-today").textContent = `Today, ${dayText(today)}`;
  told.replaceChildren();
  if (!next) return told.append(make("p", "Nothing more is planned."));
  if (next !== today) told.append(make("p", `Nothing is planned today. Next: ${dayText(next)}.`));
  const who = shownNow.who ? [shownNow.who] : people;
  const list = make("ul");
  for (const person of who) {
    const theirs = mine.filter((item) => item.day === next && item.who.includes(person));
    if (!theirs.length) continue;
    const times = theirs.map((item) => item.el.querySelector(".t").textContent.split("–"));
    const line = make("li");
    const last = times.reduce((end, [, to]) => (to > end ? to : end), "");
    line.append(nameOf(plain(person)), ` ${times[0][0]}–${last}, ${countText(theirs.length, "entry")}`);
    list.append(line);
  }
  const link = make("a", next === today ? "To today’s work" : "To that day’s work", { href: `#d-${next}` });
  const to = make("p");
  to.append(link);
  return told.append(list, to);
}
function hideChanges() {
  const lines = all("#changes li");
  if (!lines.length) return;
  for (const line of lines) {
    const who = namesOf(line.dataset.who);
    line.hidden = Boolean(shownNow.who) && who.length > 0 && !who.includes(shownNow.who);
  }
  const seen = lines.filter((line) => !line.hidden).length;
  byId("changes-count").textContent = seen ? countText(seen, "thing") : `nothing for ${plain(shownNow.who)}`;
  byId("changes").querySelector("details").open = seen > 0 && seen <= 4;
}
function markToday() {
  for (const { day, heads } of days) {
    const marked = heads[0].querySelector("b");
    if (day === today && !marked) heads[0].prepend(make("b", "Today: "));
    if (day !== today && marked) marked.remove();
  }
}

function setOut(view = shownNow.view) {
  const before = shownNow.view;
  shownNow.view = view;
  root.dataset.view = view;
  if (view === "day") {
    goHome(before === "day" ? shared : items);
    setOutDays();
  } else setOutBy(view);
  byId("by-day").hidden = view !== "day";
  byId("by-other").hidden = view === "day";
  hideOthers();
}
function refresh() {
  root.classList.toggle("one", Boolean(shownNow.who));
  setOut();
  sayCount();
  sayToday();
  hideChanges();
  for (const button of all("[data-view]", byId("controls"))) {
    button.setAttribute("aria-pressed", String(button.dataset.view === shownNow.view));
  }
}

// --- the address: #who=Name
const REMEMBERED = `offseason:${document.body.dataset.winter}:who`;
function remember(who) {
  try { sessionStorage.setItem(REMEMBERED, who); } catch { /* kept in the address alone */ }
}
function remembered() {
  try { return sessionStorage.getItem(REMEMBERED) ?? ""; } catch { return ""; }
}
function fromAddress() {
  const match = /^#who=(.*)$/s.exec(location.hash);
  let asked = match ? match[1] : remembered();
  if (match) try { asked = decodeURIComponent(asked); } catch { /* not encoded: taken as it stands */ }
  const same = (name) => name.normalize("NFC").trim().toLowerCase();
  const found = people.find((one) => one === asked) ?? people.find((one) => same(one) === same(asked));
  shownNow.who = found ?? "";
  shownNow.unknown = found === undefined && asked && match ? asked : "";
  byId("who").value = shownNow.who;
  remember(shownNow.who);
}
function toAddress() {
  remember(shownNow.who);
  const hash = shownNow.who ? `#who=${encodeURIComponent(shownNow.who)}` : " ";
  try { history.replaceState(null, "", hash === " " ? location.pathname + location.search : hash); } catch { /* as it was */ }
}
function openAround(target) {
  for (let at = target; at; at = at.parentElement) if (at.tagName === "DETAILS") at.open = true;
  if (target.hidden || target.closest("[hidden]")) {
    Object.assign(shownNow, { days: "all", view: "day" });
    byId("days").value = "all";
    refresh();
  }
}

root.classList.add("scripted");
byId("who").addEventListener("change", (event) => {
  Object.assign(shownNow, { who: event.target.value, unknown: "" });
  toAddress();
  refresh();
});
byId("days").addEventListener("change", (event) => {
  shownNow.days = event.target.value;
  refresh();
});
byId("controls").addEventListener("click", (event) => {
  const view = event.target.closest("button[data-view]")?.dataset.view;
  if (view && view !== shownNow.view) {
    setOut(view);
    refresh();
  }
});
document.addEventListener("click", (event) => {
  const link = event.target.closest?.('a[href^="#"]');
  const target = link && byId(link.getAttribute("href").slice(1));
  if (!target) return;
  openAround(target);
  if (!target.matches("a, input, [tabindex]")) target.tabIndex = -1;
});
addEventListener("hashchange", () => {
  if (location.hash && !location.hash.startsWith("#who=")) return;
  fromAddress();
  refresh();
});
document.addEventListener("visibilitychange", () => {
  const now = isoOf(new Date());
  if (document.hidden || now === today) return;
  today = now;
  markToday();
  refresh();
});
fromAddress();
markToday();
refresh();
