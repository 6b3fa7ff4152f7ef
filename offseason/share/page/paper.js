// Paper: day sheets of what is shown, months to a page, and the picture as a file of its own.
const MONTH_NAMES = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
  "November", "December"];
const SIZES = [10, 9, 8, 7, 6.5, 6]; // of letters, in points
const ROWS = [40, 34, 28, 22, 12]; // the least height of a week, in mm
const PAGE_PX = 236 * 96 / 25.4; // what a month may be high: the lower of A4 and Letter, less margins and some room

const isShown = (item) => !item.el.hidden && (!folded(item.day) || goneBox.open);
function byDayAndPerson(some) {
  const found = new Map();
  for (const item of some) {
    if (!found.has(item.day)) found.set(item.day, new Map());
    const works = found.get(item.day);
    const { step, lot, pieces } = item.el.dataset;
    const one = works.get(step) ?? { pieces: 0, who: new Set(), job: step === lot };
    one.pieces += Number(pieces);
    for (const who of item.who) one.who.add(who);
    works.set(step, one);
  }
  return found;
}
function cellOf(iso, works, most) {
  const cell = make("td");
  cell.append(make("b", String(Number(iso.slice(8)))));
  if (!works) return cell;
  const who = people.filter((person) => Array.from(works.values()).some((one) => one.who.has(person)));
  const come = make("p", undefined, { class: "come" });
  who.forEach((person, at) => come.append(at ? ", " : "", nameOf(plain(person))));
  cell.append(come);
  const list = make("ul");
  const steps = Array.from(works);
  for (const [step, one] of steps.slice(0, most)) {
    const line = make("li");
    line.append(nameOf(plain(step)), one.job ? "" : `\u00a0${one.pieces.toLocaleString("en")}`);
    list.append(line);
  }
  if (steps.length > most) list.append(make("li", `and ${steps.length - most} more`));
  cell.append(list);
  return cell;
}
function monthOf(month, works, most) {
  const section = make("section", undefined, { class: "month" });
  const [year, number] = month.split("-").map(Number);
  const head = make("h2", `${MONTH_NAMES[number - 1]} ${year}`);
  const about = make("p");
  about.append(nameOf(document.querySelector("h1").textContent));
  if (shownNow.who) about.append(", ", nameOf(plain(shownNow.who)));
  const table = make("table");
  const columns = [1, 2, 3, 4, 5, 6, 0];
  const busy = new Set(Array.from(works.keys(), (day) => dateOf(day).getDay()));
  const group = make("colgroup");
  group.append(...columns.map((day) => make("col", undefined, { class: day % 6 || busy.has(day) ? "busy" : "idle" })));
  const row = make("tr");
  row.append(...columns.map((day) => make("th", WEEKDAYS[day], { scope: "col" })));
  const body = make("tbody");
  const first = new Date(year, number - 1, 1);
  const lead = (first.getDay() + 6) % 7;
  const length = new Date(year, number, 0).getDate();
  for (let at = -lead; at < length; at += 7) {
    const week = make("tr");
    for (let day = at + 1; day <= at + 7; day += 1) {
      const iso = `${month}-${String(day).padStart(2, "0")}`;
      week.append(day < 1 || day > length ? make("td") : cellOf(iso, works.get(iso), most));
    }
    body.append(week);
  }
  const top = make("thead");
  top.append(row);
  table.append(group, top, body);
  section.append(head, about, table);
  return section;
}
function fitted(month, works, box) {
  for (const most of [Infinity, 6, 4, 2, 1]) {
    const section = monthOf(month, works, most);
    box.append(section);
    for (const size of SIZES) {
      section.style.fontSize = `${size}pt`;
      for (const row of ROWS) {
        section.style.setProperty("--row", `${row}mm`);
        if (section.offsetHeight <= PAGE_PX) return;
      }
    }
    if (most > 1) section.remove();
  }
}
function makeMonths() {
  const box = byId("months");
  box.replaceChildren();
  box.hidden = false;
  const found = byDayAndPerson(entries.filter(isShown));
  for (const month of new Set(Array.from(found.keys(), (day) => day.slice(0, 7)).sort())) {
    const works = new Map(Array.from(found).filter(([day]) => day.startsWith(month)));
    fitted(month, works, box);
  }
  if (!box.firstChild) box.append(make("p", "Nothing to show."));
}
let viewBefore = null;
addEventListener("beforeprint", () => {
  if (root.classList.contains("print-months") || shownNow.view === "day") return;
  viewBefore = shownNow.view;
  setOut("day");
});
addEventListener("afterprint", () => {
  root.classList.remove("print-months");
  byId("months").replaceChildren();
  byId("months").hidden = true;
  if (viewBefore) setOut(viewBefore);
  viewBefore = null;
});
byId("print-days").addEventListener("click", () => {
  root.classList.remove("print-months");
  window.print();
});
byId("print-months").addEventListener("click", () => {
  makeMonths();
  root.classList.add("print-months");
  window.print();
});

// --- the picture as a file
const picture = document.querySelector("#glance svg");
function save(blob, called) {
  const address = URL.createObjectURL(blob);
  const link = make("a", undefined, { href: address, download: called });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
  byId("saved").textContent = `Saved as ${called}.`;
}
function svgBlob() {
  const copy = picture.cloneNode(true);
  copy.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  return new Blob([new XMLSerializer().serializeToString(copy)], { type: "image/svg+xml" });
}
function savePng() {
  const { width, height } = picture.viewBox.baseVal ?? {};
  const box = width && height ? { width, height } : picture.getBoundingClientRect();
  const image = new Image();
  const address = URL.createObjectURL(svgBlob());
  const failed = () => { byId("saved").textContent = "This browser cannot make a PNG of it; save it as SVG."; };
  image.onerror = failed;
  image.onload = () => {
    const canvas = make("canvas");
    canvas.width = Math.round(box.width * 2);
    canvas.height = Math.round(box.height * 2);
    canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
    URL.revokeObjectURL(address);
    canvas.toBlob((blob) => (blob ? save(blob, "winter.png") : failed()), "image/png");
  };
  image.src = address;
}
if (picture) {
  byId("save-svg").addEventListener("click", () => save(svgBlob(), "winter.svg"));
  byId("save-png").addEventListener("click", savePng);
}
