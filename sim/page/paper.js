/* ---- the sheet of graph paper: drawn anew within itself, so that a finger on it keeps its hold ---- */
const LETTER_REM = 0.8125,
  LARGEST_PX = 20; /* larger, the numbers along an axis would run into one another */
let drawing = null,
  sheetDrawn = "";
function paperOf(paper) {
  const sheet = drawn("svg", {
    id: "paper",
    "data-name": paper.name,
    tabindex: paper.name ? 0 : null,
    role: paper.name ? "application" : "img",
    "aria-label": "sheet of graph paper",
  });
  sheetDrawn = "";
  if (!paper.name) return [sheet];
  sheet.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    drawing = [event.clientX, event.clientY];
    wish({ pencil: "down", place: placeOn(event) });
  });
  const keys = made("details", { class: "keys" }, made("summary", {}, "The pencil's keys, as buttons"));
  keys.append(...lettersOf(fixed.pencil));
  return [made("div", { class: "tools" }, ...paper.tools.map(buttonOf)), sheet, keys];
}
function fillSheets(blocks) {
  blocks.filter((block) => block.kind === "paper").forEach(fillSheet);
}
addEventListener("resize", () => {
  if (seen) fillSheets(seen.blocks);
});
function fillSheet(paper) {
  const room = [by("page").clientWidth, parseFloat(getComputedStyle(by("paper")).maxHeight)];
  const root_px = parseFloat(getComputedStyle(document.documentElement).fontSize);
  const letter_px = Math.min(LETTER_REM * root_px, LARGEST_PX);
  const told = JSON.stringify([paper, room, letter_px]);
  if (told === sheetDrawn) return;
  sheetDrawn = told;
  const [across, up, large] = paper.squares,
    [left, low] = paper.corner;
  const wide = across / paper.zoom,
    high = up / paper.zoom;
  /* The numbers are to be read however small the sheet is: the margins go with them. */
  const letter = Math.max(
    2.6 / paper.zoom,
    (letter_px * wide * 1.15) / Math.max(room[0], 200),
    (letter_px * high * 1.15) / room[1],
  );
  const margin = { left: 4.6 * letter, low: 3.5 * letter, rest: 0.8 * letter };
  const y = (squares) => low + high - squares;
  const within = (at, first, size) => at >= first && at <= first + size;
  const text = (words, at, more = {}) =>
    drawn(
      "text",
      {
        x: at[0],
        y: at[1],
        "font-size": letter,
        "text-anchor": "middle",
        fill: "currentColor",
        ...more,
      },
      words,
    );
  const axes = [];
  if (paper.across) {
    paper.across.numbers.forEach((number, n) => {
      if (within(n * large, left, wide)) axes.push(text(number, [n * large, high + 1.3 * letter]));
    });
    axes.push(text(paper.across.title, [left + wide / 2, high + 2.9 * letter]));
  }
  if (paper.up) {
    paper.up.numbers.forEach((number, n) => {
      if (within(n * large, low, high)) {
        axes.push(
          text(number, [left - 0.4 * letter, y(n * large) + 0.35 * letter], { "text-anchor": "end" }),
        );
      }
    });
    const at = [left - 3.7 * letter, high / 2];
    axes.push(text(paper.up.title, at, { transform: `rotate(-90 ${at[0]} ${at[1]})` }));
  }
  const sheet = by("paper"),
    whole = [left - margin.left, -margin.rest, wide + margin.left + margin.rest];
  sheet.setAttribute("viewBox", [...whole, high + margin.low + margin.rest].join(" "));
  sheet.replaceChildren(gridOf(paper, { left, low, wide, high, large, y }), ...axes);
}
function gridOf(paper, { left, low, wide, high, large, y }) {
  const line = (x1, y1, x2, y2, cls) => drawn("line", { x1, y1, x2, y2, class: cls });
  const lines = [];
  for (let a = Math.ceil(left); a <= left + wide; a += 1)
    lines.push(line(a, 0, a, high, a % large ? "faint" : "strong"));
  for (let u = Math.ceil(low); u <= low + high; u += 1)
    lines.push(line(left, y(u), left + wide, y(u), u % large ? "faint" : "strong"));
  const cross = ([a, u]) =>
    drawn("path", { d: `M${a - 0.7} ${y(u) - 0.7}l1.4 1.4m0 -1.4l-1.4 1.4`, class: "cross" });
  const path = (points, cls) => {
    if (!points.length) return [];
    return [drawn("polyline", { points: points.map(([a, u]) => `${a},${y(u)}`).join(" "), class: cls })];
  };
  const [a, u] = paper.point;
  const pencil = paper.name
    ? [
        line(left, y(u), left + wide, y(u), "hair"),
        line(a, 0, a, high, "hair"),
        drawn("circle", { cx: a, cy: y(u), r: 1.2 / paper.zoom, class: "pencil" }),
      ]
    : [];
  return drawn(
    "svg",
    {
      "aria-hidden": "true",
      x: left,
      y: 0,
      width: wide,
      height: high,
      "data-low": low,
      viewBox: `${left} 0 ${wide} ${high}`,
    },
    drawn("rect", { x: left, y: 0, width: wide, height: high, fill: "none" }),
    ...lines,
    ...path(paper.line, "drawn-line"),
    ...path(paper.laying, "laying"),
    ...paper.crosses.map(cross),
    ...pencil,
  );
}

/* The pencil follows the pointer, and is put down where that comes up. */
function placeOn({ clientX, clientY }) {
  const inner = by("paper").querySelector("svg"),
    { y, height } = inner.viewBox.baseVal;
  const at = new DOMPoint(clientX, clientY).matrixTransform(inner.getScreenCTM().inverse());
  return [at.x, Number(inner.dataset.low) + y + height - at.y];
}
function onPaper({ clientX, clientY }) {
  const { left, right, top, bottom } = by("paper").querySelector("svg rect").getBoundingClientRect();
  return clientX > left - 2 && clientX < right + 2 && clientY > top - 2 && clientY < bottom + 2;
}
function steady({ clientX, clientY }) {
  const far = Math.hypot(clientX - drawing[0], clientY - drawing[1]) >= 6;
  return far ? { clientX, clientY } : { clientX: drawing[0], clientY: drawing[1] };
}
addEventListener("pointermove", (event) => {
  if (drawing && by("paper")) wish({ pencil: "move", place: placeOn(steady(event)) });
});
addEventListener("pointerup", (event) => {
  if (drawing && by("paper") && onPaper(event)) wish({ pencil: "up", place: placeOn(steady(event)) });
  drawing = null;
});
addEventListener("pointercancel", () => {
  drawing = null;
});
