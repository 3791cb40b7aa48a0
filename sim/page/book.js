/* ---- the page of the book ---- */
let shape = "";
function withoutTexts(blocks) {
  return JSON.stringify(blocks, (_, value) => (value && value.kind === "field" ? { ...value, text: "" } : value));
}
function drawPage(answer) {
  const found = answer.page + withoutTexts(answer.blocks);
  if (found !== shape) {
    shape = found;
    const scrolled = by("page").dataset.page === answer.page ? null : 0;
    by("page").dataset.page = answer.page;
    by("page").replaceChildren(...blocksOf(answer.blocks));
    if (scrolled === 0) by("page").scrollTop = 0;
    for (const ribbon of by("pages").children) {
      if (ribbon.textContent === answer.page) ribbon.setAttribute("aria-current", "page"); else ribbon.removeAttribute("aria-current");
    }
  }
  for (const field of fieldsOf(answer.blocks)) {
    const box = named(field.name);
    if (box && box.value !== field.text && !box.composing) box.value = field.text;
  }
  for (const table of answer.blocks.filter((block) => block.kind === "table")) {
    for (const [cell, name] of cellNames(table)) named(cell.name).setAttribute("aria-label", name);
  }
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
function blocksOf(blocks) {
  let part = "";
  const titled = blocks.some((block) => block.as === "title");
  return blocks.flatMap((block) => {
    if (block.kind === "words") {
      if (block.as === "title" || block.as === "part") part = block.text;
      return [wordsOf(block, titled)];
    }
    if (block.kind === "field") return fieldOf(block);
    if (block.kind === "button") return [buttonOf(block), " "];
    if (block.kind === "table") return [tableOf(block, part || seen.page)];
    if (block.kind === "paper") return paperOf(block);
    return [];
  });
}
function wordsOf(block, titled) {
  if (block.as === "title") return made("h3", {}, block.text);
  if (block.as === "part") return made(titled ? "h4" : "h3", {}, block.text);
  const text = block.as === "caution" ? "⚠ Caution: " + block.text : block.text;
  return made("p", { class: block.as }, text);
}
function buttonOf(block) {
  const button = made("button", { type: "button", "data-name": block.name }, block.label);
  button.addEventListener("click", () => wish({ press: block.name }));
  return button;
}
let numbered = 0;
function inputOf(field, label) {
  numbered += 1;
  const common = { "data-name": field.name, maxlength: field.longest, "aria-label": label, id: `field-${numbered}`, "aria-describedby": field.refusal ? `refusal-${numbered}` : null, autocomplete: "off", spellcheck: "true" };
  const box = field.rows ? made("textarea", { ...common, rows: field.rows }) : made("input", { ...common, type: "text", size: field.letters, inputmode: field.number ? "decimal" : null });
  box.value = field.text;
  box.addEventListener("compositionstart", () => { box.composing = true; });
  box.addEventListener("compositionend", () => { box.composing = false; wish({ edit: field.name, text: box.value }); });
  box.addEventListener("input", () => { if (!box.composing) wish({ edit: field.name, text: box.value }); });
  return box;
}
function refusalOf(field, box) {
  return field.refusal ? [made("p", { class: "refusal", id: box.getAttribute("aria-describedby") }, field.refusal)] : [];
}
function fieldOf(field) {
  const box = inputOf(field, null);
  const label = made("label", { for: box.id }, field.label);
  return [label, box, ...refusalOf(field, box)];
}
/* What each cell to be written in is called: its column's heading as it stands, and its row. */
function* cellNames(table) {
  const heading = (n) => { const cell = table.headings[n]; return (cell.kind ? cell.text : cell) || `column ${n + 1}`; };
  for (const [n, cell] of table.headings.entries()) if (cell.kind) yield [cell, `heading of column ${n + 1}`];
  for (const [r, { cells }] of table.rows.entries()) {
    for (const [n, cell] of cells.entries()) if (cell.kind) yield [cell, `${heading(n)}, ${cells[0].kind ? `row ${r + 1}` : cells[0]}`];
  }
}
function tableOf(table, caption) {
  const names = new Map(cellNames(table));
  const cellOf = (tag, cell, more = {}) => {
    if (!cell.kind) return made(tag, more, cell);
    const box = inputOf(cell, names.get(cell));
    return made(tag, more, box, ...refusalOf(cell, box));
  };
  const head = made("tr", {}, ...table.headings.map((cell) => cellOf("th", cell, { scope: "col" })));
  const rows = table.rows.map((row) => {
    const cells = row.cells.map((cell) => cellOf("td", cell));
    if (row.struck_out !== null) cells.at(-1).append(made("span", { class: "note" }, " " + row.struck_out));
    return made("tr", { class: row.struck_out === null ? null : "struck" }, ...cells);
  });
  const ruled = made("table", {}, made("caption", {}, caption), made("thead", {}, head), made("tbody", {}, ...rows));
  return made("div", { class: ruled.querySelector("input") ? "wide" : "" }, ruled);
}
/* The pencil follows the pointer, over a sheet that may be drawn anew under it. */
let drawing = null;
function placeOn({ clientX, clientY }) {
  const inner = by("paper").querySelector("svg"), { y, height } = inner.viewBox.baseVal;
  const at = new DOMPoint(clientX, clientY).matrixTransform(inner.getScreenCTM().inverse());
  return [at.x, Number(inner.dataset.low) + y + height - at.y];
}
function onPaper(event) {
  const { left, right, top, bottom } = by("paper").querySelector("svg rect").getBoundingClientRect();
  return event.clientX > left - 2 && event.clientX < right + 2 && event.clientY > top - 2 && event.clientY < bottom + 2;
}
const steady = (event) => (Math.hypot(event.clientX - drawing[0], event.clientY - drawing[1]) < 6 ? { clientX: drawing[0], clientY: drawing[1] } : event);
addEventListener("pointermove", (event) => { if (drawing && by("paper")) wish({ pencil: "move", place: placeOn(steady(event)) }); });
addEventListener("pointerup", (event) => {
  if (drawing && by("paper") && onPaper(event)) wish({ pencil: "up", place: placeOn(steady(event)) });
  drawing = null;
});
addEventListener("pointercancel", () => { drawing = null; });
function paperOf(paper) {
  const [across, up, large] = paper.squares;
  const wide = across / paper.zoom, high = up / paper.zoom;
  const [left, low] = paper.corner;
  const margin = { left: 12 / paper.zoom, low: 9 / paper.zoom };
  const x = (a) => a, y = (u) => low + high - u;
  const lines = [];
  for (let a = Math.ceil(left); a <= left + wide; a += 1) lines.push(drawn("line", { x1: a, x2: a, y1: 0, y2: high, class: a % large ? "faint" : "strong" }));
  for (let u = Math.ceil(low); u <= low + high; u += 1) lines.push(drawn("line", { x1: left, x2: left + wide, y1: y(u), y2: y(u), class: u % large ? "faint" : "strong" }));
  const text = (words, ax, ay, more = {}) => drawn("text", { x: ax, y: ay, "font-size": 2.6 / paper.zoom, "text-anchor": "middle", fill: "currentColor", ...more }, words);
  const axes = [];
  if (paper.across) {
    paper.across.numbers.forEach((number, n) => { if (n * large >= left && n * large <= left + wide) axes.push(text(number, n * large, high + 3.4 / paper.zoom)); });
    axes.push(text(paper.across.title, left + wide / 2, high + 7.6 / paper.zoom));
  }
  if (paper.up) {
    paper.up.numbers.forEach((number, n) => { if (n * large >= low && n * large <= low + high) axes.push(text(number, left - 1 / paper.zoom, y(n * large) + 0.9 / paper.zoom, { "text-anchor": "end" })); });
    const at = [left - 9.5 / paper.zoom, high / 2];
    axes.push(text(paper.up.title, at[0], at[1], { transform: `rotate(-90 ${at[0]} ${at[1]})` }));
  }
  const cross = ([a, u], size, cls) => drawn("path", { d: `M${x(a) - size} ${y(u) - size}l${2 * size} ${2 * size}m0 ${-2 * size}l${-2 * size} ${2 * size}`, class: cls });
  const path = (points, cls) => (points.length ? [drawn("polyline", { points: points.map(([a, u]) => `${x(a)},${y(u)}`).join(" "), class: cls })] : []);
  const inner = drawn("svg", { "aria-hidden": "true", x: left, y: 0, width: wide, height: high, viewBox: `${left} 0 ${wide} ${high}`, "data-low": low }, drawn("rect", { x: left, y: 0, width: wide, height: high, fill: "none" }), ...lines, ...path(paper.line, "drawn-line"), ...path(paper.laying, "laying"), ...paper.crosses.map((one) => cross(one, 0.7, "cross")), drawn("circle", { cx: x(paper.point[0]), cy: y(paper.point[1]), r: 1.2 / paper.zoom, class: "pencil" }));
  const sheet = drawn("svg", { id: "paper", viewBox: `${left - margin.left} ${-1.5 / paper.zoom} ${wide + margin.left + 2 / paper.zoom} ${high + margin.low + 1.5 / paper.zoom}`, "data-name": paper.name, tabindex: paper.name ? 0 : null, role: paper.name ? "application" : "img", "aria-label": "sheet of graph paper" }, inner, ...axes);
  if (paper.name) sheet.addEventListener("pointerdown", (event) => { event.preventDefault(); drawing = [event.clientX, event.clientY]; wish({ pencil: "down", place: placeOn(event) }); });
  return [made("div", { class: "tools" }, ...paper.tools.map(buttonOf)), sheet];
}
