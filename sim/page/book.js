/* ---- the page of the book ---- */
let laidOut = []; /* of each block what it was laid out by, and its elements */
let places = new Map();
/* What on the page has a name for the model: fields, buttons, the graph paper. */
const named = (name) => places.get(name);
/* What a block is laid out by: not what is written in it, nor what is drawn on the graph paper. */
function shapeOf(block) {
  if (block.kind === "field") return { ...block, text: "" };
  if (block.kind === "paper") return [block.name, block.tools];
  if (block.kind !== "table") return block;
  return [block.headings.map(shapeOf), block.rows.map((row) => [row.struck_out, row.cells.map(shapeOf)])];
}
/* A heading calls the first table under it. */
function calledBy(blocks, n) {
  const over = blocks.slice(0, n).findLast((one) => ["title", "part"].includes(one.as) || one.kind === "table");
  return over?.text ?? seen.page;
}
function drawPage({ page, blocks }) {
  if (by("page").dataset.page !== page) turnTo(page);
  const shapes = blocks.map((block, n) => JSON.stringify([shapeOf(block), calledBy(blocks, n)]));
  if (isNews("page", [page, shapes])) layOutPage(blocks, shapes);
  fillSheets(blocks);
  for (const field of fieldsOf(blocks)) {
    const box = named(field.name);
    if (box.value !== field.text && !box.composing) box.value = field.text;
    fitted(box);
  }
  for (const table of blocks.filter((block) => block.kind === "table")) {
    for (const [cell, name] of cellNames(table)) named(cell.name).setAttribute("aria-label", name);
  }
}
function turnTo(page) {
  by("book").scrollTop = 0;
  by("page").dataset.page = page;
  laidOut = [];
  for (const ribbon of by("pages").children) {
    if (ribbon.textContent === page) ribbon.setAttribute("aria-current", "page");
    else ribbon.removeAttribute("aria-current");
  }
}
/* A block that is laid out as before keeps its elements, and with them the focus and what is marked. */
function layOutPage(blocks, shapes) {
  const before = laidOut,
    page = by("page"),
    titled = blocks.some((block) => block.as === "title");
  laidOut = shapes.map((shape, n) => {
    const kept = before.findIndex((one) => one.shape === shape);
    if (kept >= 0) return before.splice(kept, 1)[0];
    return { shape, elements: elementsOf(blocks[n], calledBy(blocks, n), titled) };
  });
  const wanted = laidOut.flatMap(({ elements }) => elements);
  for (const old of [...page.childNodes]) if (!wanted.includes(old)) old.remove();
  wanted.forEach((one, n) => {
    if (page.childNodes[n] !== one) page.insertBefore(one, page.childNodes[n] ?? null);
  });
  places = new Map([...page.querySelectorAll("[data-name]")].map((one) => [one.dataset.name, one]));
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
function inputOf(field, label, rows = field.rows) {
  numbered += 1;
  const common = {
    "data-name": field.name,
    maxlength: field.longest,
    "aria-label": label,
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
  box.value = field.text;
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
  const box = inputOf(field, null);
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
function tableOf(table, caption) {
  const names = new Map(cellNames(table)),
    named_rows = table.rows.some(({ cells }) => !cells[0].kind);
  const cellOf = (tag, cell, more = {}) => {
    if (!cell.kind) return made(tag, more, cell);
    const box = inputOf(cell, names.get(cell), tag === "th" || (named_rows && !cell.number) ? 3 : 0);
    return made(tag, more, box, ...refusalOf(cell, box));
  };
  const head = made("tr", {}, ...table.headings.map((cell) => cellOf("th", cell, { scope: "col" })));
  const rows = table.rows.map((row) => {
    const cells = row.cells.map((cell) => cellOf("td", cell));
    if (row.struck_out !== null) cells.at(-1).append(made("span", { class: "note" }, " " + row.struck_out));
    return made("tr", { class: row.struck_out === null ? null : "struck" }, ...cells);
  });
  const ruled = made(
    "table",
    {},
    made("caption", { class: "unseen" }, caption),
    made("thead", {}, head),
    made("tbody", {}, ...rows),
  );
  if (!ruled.querySelector("input,textarea")) return made("div", {}, ruled);
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
