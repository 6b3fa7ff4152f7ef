// The work, set out by day, person or lot. Entries are moved, never copied.
const root = document.documentElement;
const byId = (id) => document.getElementById(id);
const all = (selector, within = document) => Array.from(within.querySelectorAll(selector));
const WEEKDAYS = ["Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"];
const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const isoOf = (when) => [when.getFullYear(), when.getMonth() + 1, when.getDate()]
  .map((n, at) => String(n).padStart(at ? 2 : 4, "0")).join("-");
const dateOf = (iso) => new Date(Number(iso.slice(0, 4)), Number(iso.slice(5, 7)) - 1, Number(iso.slice(8)));
const dayText = (iso) => {
  const day = dateOf(iso);
  return `${WEEKDAYS[day.getDay()]} ${day.getDate()} ${MONTHS[day.getMonth()]} ${day.getFullYear()}`;
};
const later = (iso, days) => {
  const day = dateOf(iso);
  return isoOf(new Date(day.getFullYear(), day.getMonth(), day.getDate() + days));
};
const countText = (n, one) => `${n.toLocaleString("en")} ${n === 1 ? one : one === "entry" ? "entries" : `${one}s`}`;
const make = (tag, words, attributes = {}) => {
  const made = document.createElement(tag);
  if (words !== undefined) made.textContent = words;
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
};
const nameOf = (words) => make("bdi", words);
// Names may hold anything; what would steer the reader is left to the <bdi> around it.
const plain = (words) => words.replace(/\s+/g, " ");

const namesIn = new Map();
const namesOf = (written) => {
  if (!namesIn.has(written)) namesIn.set(written, JSON.parse(written));
  return namesIn.get(written);
};
const days = all("#by-day > .day").map((el) => ({ el, day: el.dataset.day, heads: all("h3", el) }));
const lists = new Map();
const items = [];
for (const { el, day } of days) {
  for (const of of all(".of", el)) {
    const list = of.querySelector("ul");
    lists.set(`${day}\n${of.dataset.of}`, list);
    for (const line of Array.from(list.children)) {
      const also = line.className === "also";
      items.push({ el: line, day, who: namesOf(line.dataset.who), lot: line.dataset.lot, also, home: list });
    }
  }
}
const entries = items.filter((item) => !item.also);
const shared = entries.filter((item) => item.who.length > 1);
const alsoOf = new Map(items.filter((item) => item.also).map((item) => [`${item.el.dataset.for}\n${item.who[0]}`, item]));
const people = all("#who option").map((option) => option.value).filter(Boolean);
const shownNow = { who: "", days: "on", view: "day", unknown: "" };
let today = isoOf(new Date());

const hostOf = (item) => (shownNow.who && item.who.includes(shownNow.who) ? shownNow.who : item.who[0]);
const inDays = (day) => {
  if (shownNow.days === "1") return day === today;
  if (shownNow.days === "7") return day >= today && day < later(today, 7);
  return true;
};
const folded = (day) => shownNow.days === "on" && day < today;

// --- set out by day: entries go home; one of several people stands with whoever is asked for
function goHome(some) {
  const homes = new Set(some.map((item) => item.home));
  for (const item of items) if (homes.has(item.home)) item.home.append(item.el);
  for (const item of shared) {
    const also = alsoOf.get(`${item.el.id}\n${hostOf(item)}`);
    if (also) also.el.after(item.el);
  }
}
const goneBox = make("details", undefined, { class: "gone" });
goneBox.append(make("summary"));
function setOutDays() {
  const box = byId("by-day");
  let gone = 0;
  for (const { el, day } of days) {
    if (folded(day)) gone += 1;
    const to = folded(day) ? goneBox : box;
    if (el.parentNode !== to || gone) to.append(el);
  }
  for (const { el, day } of days) if (!folded(day)) box.append(el);
  goneBox.firstChild.textContent = `Days gone by: ${gone}`;
  if (gone) box.append(goneBox);
  else goneBox.remove();
  if (gone && gone === days.length) goneBox.open = true;
}

// --- set out by person or lot, and in each by day
const clockKey = (item) => item.el.querySelector(".t")?.textContent.replace(" again", "\uffff") ?? "";
let inTime;
const itemsInTime = () => {
  inTime ??= entries.map((item, n) => ({ item, n, key: clockKey(item) }))
    .sort((a, b) => (a.item.day < b.item.day ? -1 : a.item.day > b.item.day ? 1
      : a.key < b.key ? -1 : a.key > b.key ? 1 : a.n - b.n))
    .map((one) => one.item);
  return inTime;
};
function groupFor(groups, box, key) {
  if (!groups.has(key)) {
    const section = make("section", undefined, { class: "group" });
    const head = make("h3");
    head.append(nameOf(plain(key)));
    section.append(head);
    groups.set(key, { section, byDay: new Map(), gone: null });
  }
  return groups.get(key);
}
function listFor(group, day) {
  if (!group.byDay.has(day)) {
    const part = make("div", undefined, { class: "of", "data-day": day });
    const head = make("h4");
    head.append(make("time", dayText(day), { datetime: day }));
    if (day === today) head.prepend(make("b", "Today: "));
    const list = make("ul");
    part.append(head, list);
    if (folded(day)) {
      if (!group.gone) {
        group.gone = make("details", undefined, { class: "gone" });
        group.gone.append(make("summary", "Days gone by"));
      }
      group.gone.append(part);
    } else group.section.append(part);
    group.byDay.set(day, list);
  }
  return group.byDay.get(day);
}
function setOutBy(view) {
  const groups = new Map();
  const box = byId("by-other");
  const put = (item, key) => {
    listFor(groupFor(groups, box, key), item.day).append(item.el);
  };
  if (view === "lot") for (const item of itemsInTime()) put(item, item.lot);
  else {
    goHome(items);
    for (const { day } of days) {
      for (const person of people) {
        const list = lists.get(`${day}\n${person}`);
        if (!list) continue;
        const target = listFor(groupFor(groups, box, person), day);
        target.append(...list.children);
      }
    }
  }
  const order = view === "person" ? people.filter((one) => groups.has(one)) : Array.from(groups.keys());
  box.replaceChildren(...order.map((key) => {
    const { section, gone } = groups.get(key);
    if (gone) section.append(gone);
    const lines = section.querySelectorAll("li").length;
    section.style.containIntrinsicSize = `auto ${6 + 3 * section.querySelectorAll(".of").length + 5 * lines}rem`;
    return section;
  }));
}
