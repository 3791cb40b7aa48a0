/* ---- the page of the book ---- */
let places = new Map();
/* What on the page has a name for the model: fields, buttons, the graph paper. */
const named = (name) => places.get(name);
/* What a part is made from: not what is written in it, its rows, or what is drawn on the graph paper. */
function shapeOf(part) {
  if (part.kind === "field") return { ...part, text: "" };
  if (part.kind === "paper") return [part.name, part.tools];
  if (part.kind === "table") return part.headings.map(shapeOf);
  return part.cells ? [part.struck_out, part.cells.map(shapeOf)] : part;
}
/* A heading calls the first table under it. */
function calledBy(blocks, n) {
  const over = blocks.slice(0, n).findLast((one) => ["title", "part"].includes(one.as) || one.kind === "table");
  return over?.text ?? seen.page;
}
function drawPage({ page, blocks }) {
  if (by("page").dataset.page !== page) turnTo(page);
  const titled = blocks.some((block) => block.as === "title");
  laid(
    by("page"),
    blocks.map((block, n) => [[shapeOf(block), calledBy(blocks, n)], () => elementsOf(block, calledBy(blocks, n), titled)]),
  );
  const tables = blocks.filter((block) => block.kind === "table");
  tables.forEach((table, n) => {
    laid(by("page").querySelectorAll("tbody")[n], table.rows.map((row) => [shapeOf(row), () => [rowOf(row)]]));
  });
  places = new Map([...by("page").querySelectorAll("[data-name]")].map((one) => [one.dataset.name, one]));
  fillSheets(blocks);
  for (const field of fieldsOf(blocks)) {
    const box = named(field.name);
    if (box.value !== field.text && !box.composing) box.value = field.text;
    fitted(box);
  }
  for (const table of tables) {
    for (const [cell, name] of cellNames(table)) set(named(cell.name), "aria-label", name);
  }
}
function turnTo(page) {
  by("book").scrollTop = 0;
  by("pages").scrollIntoView({ block: "nearest" }); /* on a phone the whole page scrolls */
  by("page").dataset.page = page;
  by("page").parts = [];
  for (const ribbon of by("pages").children) {
    if (ribbon.textContent === page) ribbon.setAttribute("aria-current", "page");
    else ribbon.removeAttribute("aria-current");
  }
}
/* Fills a place with parts. One that is made from the same as before stays, and with it the focus and what is marked. */
function laid(place, parts) {
  const before = place.parts ?? [];
  place.parts = parts.map(([shape, make]) => {
    const from = JSON.stringify(shape),
      kept = before.findIndex((one) => one.from === from);
    return kept < 0 ? { from, elements: make() } : before.splice(kept, 1)[0];
  });
  const wanted = place.parts.flatMap(({ elements }) => elements);
  for (const old of [...place.childNodes]) if (!wanted.includes(old)) old.remove();
  wanted.forEach((one, n) => {
    if (place.childNodes[n] !== one) place.insertBefore(one, place.childNodes[n] ?? null);
  });
}
function* fieldsOf(blocks) {
  for (const block of blocks) {
    if (block.kind === "field") yield block;
    if (block.kind === "table") {
      yield* fieldsOf(block.headings.filter((cell) => cell.kind));
      for (const row of block.rows) yield* fieldsOf(row.cells.filter((cell) => cell.kind));
    }
  }
}
function elementsOf(block, called, titled) {
  if (block.kind === "words") return [wordsOf(block, titled)];
  if (block.kind === "field") return fieldOf(block);
  if (block.kind === "button") return [buttonOf(block), new Text(" ")];
  if (block.kind === "table") return [tableOf(block, called)];
  return block.kind === "paper" ? paperOf(block) : [];
}
function wordsOf(block, titled) {
  if (block.as === "title") return made("h3", {}, block.text);
  if (block.as === "part") return made(titled ? "h4" : "h3", {}, block.text);
  const text = block.as === "caution" ? "⚠ Caution: " + block.text : block.text;
  return made("p", { class: block.as }, text);
}
const buttonOf = (block) => button(() => wish({ press: block.name }), { "data-name": block.name }, block.label);
let numbered = 0;
/* A cell is as wide as what stands in it, a heading as its longest word: within bounds, or it is moved through. */
function fitted(box) {
  if (box.fittedTo === box.value || !box.closest("td,th")) return;
  box.fittedTo = box.value;
  const parts = box.matches("textarea") ? box.value.split(/\s+/) : [box.value];
  const letters = Math.max(...parts.map((part) => part.length));
  box.style.setProperty("--letters", letters);
}
function inputOf(field, rows = field.rows) {
  numbered += 1;
  const common = {
    "data-name": field.name,
    maxlength: field.longest,
    id: `field-${numbered}`,
    "aria-describedby": field.refusal ? `refusal-${numbered}` : null,
    autocomplete: "off",
    spellcheck: "true",
  };
  const box = rows
    ? made("textarea", { ...common, rows })
    : made("input", {
        ...common,
        type: "text",
        size: field.letters,
        inputmode: field.number ? "decimal" : null,
      });
  box.addEventListener("compositionstart", () => {
    box.composing = true;
  });
  box.addEventListener("compositionend", () => {
    box.composing = false;
    wish({ edit: field.name, text: box.value });
  });
  box.addEventListener("input", () => {
    if (!box.composing) wish({ edit: field.name, text: box.value });
  });
  return box;
}
function refusalOf(field, box) {
  return field.refusal
    ? [made("p", { class: "refusal", id: box.getAttribute("aria-describedby") }, field.refusal)]
    : [];
}
function fieldOf(field) {
  const box = inputOf(field);
  const label = made("label", { for: box.id }, field.label);
  return [label, box, ...refusalOf(field, box)];
}
/* What each cell to be written in is called: its column's heading as it stands, and its row. */
function* cellNames(table) {
  const heading = (n) => {
    const cell = table.headings[n];
    return (cell.kind ? cell.text : cell) || `column ${n + 1}`;
  };
  for (const [n, cell] of table.headings.entries()) if (cell.kind) yield [cell, `heading of column ${n + 1}`];
  for (const [r, { cells }] of table.rows.entries()) {
    for (const [n, cell] of cells.entries())
      if (cell.kind) yield [cell, `${heading(n)}, ${cells[0].kind ? `row ${r + 1}` : cells[0]}`];
  }
}
function cellOf(tag, cell, lines, more = {}) {
  if (!cell.kind) return made(tag, more, cell);
  const box = inputOf(cell, lines);
  return made(tag, more, box, ...refusalOf(cell, box));
}
function rowOf(row) {
  const lines = (cell) => (!row.cells[0].kind && !cell.number ? 3 : 0);
  const cells = row.cells.map((cell) => cellOf("td", cell, lines(cell)));
  if (row.struck_out !== null) cells.at(-1).append(made("span", { class: "note" }, " " + row.struck_out));
  return made("tr", { class: row.struck_out === null ? null : "struck" }, ...cells);
}
function tableOf(table, caption) {
  const head = made("tr", {}, ...table.headings.map((cell) => cellOf("th", cell, 3, { scope: "col" })));
  const ruled = made(
    "table",
    {},
    made("caption", { class: "unseen" }, caption),
    made("thead", {}, head),
    made("tbody"),
  );
  if (fieldsOf([table]).next().done) return made("div", {}, ruled);
  const wide = made("div", { class: "wide" }, ruled);
  wide.addEventListener("scroll", () => sideways(wide), { passive: true });
  for (const one of [wide, ruled]) widths.observe(one);
  return made("div", {}, made("p", { class: "note", "aria-hidden": "true", hidden: true }, SIDEWAYS), wide);
}
/* A table that is wider than the page says so, fades where it goes on, and its first column stays. */
const SIDEWAYS = "The table goes on to the side: push it ← →";
const widths = new ResizeObserver((all) => all.forEach(({ target }) => sideways(target.closest(".wide"))));
function sideways(wide) {
  const further = wide.scrollWidth - wide.clientWidth;
  wide.classList.toggle("moved", further > 1);
  wide.classList.toggle("more", further - wide.scrollLeft > 1);
  wide.previousSibling.hidden = further <= 1;
  wide.style.setProperty("--first", `${wide.querySelector("th").offsetWidth}px`);
}
