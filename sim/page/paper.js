/* ---- the sheet of graph paper: drawn anew within itself, so that a finger on it keeps its hold ---- */
const LETTER_REM = 0.8125,
  LARGEST_PX = 20; /* larger, the numbers along an axis would run into one another */
let drawing = null,
  room = null; /* for the sheet, and the size of its letters, in pixels */
function paperOf(paper) {
  const sheet = drawn("svg", {
    id: "paper",
    "data-name": paper.name,
    tabindex: paper.name ? 0 : null,
    role: paper.name ? "application" : "img",
    "aria-label": "sheet of graph paper",
  });
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
  if (!by("paper")) return;
  room = measured();
  fillSheets(seen.blocks);
});
function measured() {
  const root_px = parseFloat(getComputedStyle(document.documentElement).fontSize);
  return {
    wide: by("page").clientWidth,
    high: parseFloat(getComputedStyle(by("paper")).maxHeight),
    letter: Math.min(LETTER_REM * root_px, LARGEST_PX),
  };
}
function fillSheet(paper) {
  const { point, crosses, line, laying, ...ruled } = paper,
    sheet = by("paper"),
    part = partOf(paper),
    fresh = !sheet.firstChild;
  if (fresh) room = measured();
  if (isNews("ruled sheet", [ruled, room]) || fresh) ruleSheet(sheet, paper, part);
  if (isNews("drawn on sheet", [paper, room]) || fresh) sheet.querySelector("g").replaceChildren(...drawnOn(paper, part));
}
/* The part of the sheet that is seen, in small squares. */
function partOf({ squares: [across, up, large], zoom, corner: [left, low] }) {
  const wide = across / zoom,
    high = up / zoom;
  return { left, low, wide, high, large, y: (squares) => low + high - squares };
}
function ruleSheet(sheet, paper, part) {
  const { left, low, wide, high, large, y } = part;
  /* The numbers are to be read however small the sheet is: the margins go with them. */
  const letter = Math.max(
    2.6 / paper.zoom,
    (room.letter * wide * 1.16) / Math.max(room.wide, 200),
    (room.letter * high * 1.16) / room.high,
  );
  const titles = {
    across: linesOf(paper.across?.title ?? "", wide / letter),
    up: linesOf(paper.up?.title ?? "", high / letter),
  };
  const margin = {
    left: (3.5 + 1.2 * titles.up.length) * letter,
    low: (2.3 + 1.2 * titles.across.length) * letter,
    rest: 0.8 * letter,
  };
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
    titles.across.forEach((line, n) => {
      axes.push(text(line, [left + wide / 2, high + (2.9 + 1.2 * n) * letter]));
    });
  }
  if (paper.up) {
    paper.up.numbers.forEach((number, n) => {
      if (within(n * large, low, high)) {
        axes.push(
          text(number, [left - 0.4 * letter, y(n * large) + 0.35 * letter], { "text-anchor": "end" }),
        );
      }
    });
    titles.up.forEach((line, n) => {
      const at = [left - (2.5 + 1.2 * (titles.up.length - n)) * letter, high / 2];
      axes.push(text(line, at, { transform: `rotate(-90 ${at[0]} ${at[1]})` }));
    });
  }
  const whole = [left - margin.left, -margin.rest, wide + margin.left + margin.rest];
  sheet.setAttribute("viewBox", [...whole, high + margin.low + margin.rest].join(" "));
  sheet.replaceChildren(gridOf(part), ...axes);
}
/* A title that is longer than its axis goes on in another line. */
const LETTER_WIDE = 0.56;
function linesOf(title, room) {
  const lines = [];
  for (const word of title.split(/\s+/)) {
    const longer = `${lines.at(-1)} ${word}`;
    if (lines.length && longer.length * LETTER_WIDE <= room) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}
function gridOf({ left, low, wide, high, large, y }) {
  const lines = { faint: "", strong: "" };
  for (let a = Math.ceil(left); a <= left + wide; a += 1) lines[a % large ? "faint" : "strong"] += `M${a} 0v${high}`;
  for (let u = Math.ceil(low); u <= low + high; u += 1)
    lines[u % large ? "faint" : "strong"] += `M${left} ${y(u)}h${wide}`;
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
    ...Object.entries(lines).map(([name, d]) => drawn("path", { d, class: name })),
    drawn("g"),
  );
}
function drawnOn(paper, { left, wide, high, y }) {
  const cross = ([a, u]) =>
    drawn("path", { d: `M${a - 0.7} ${y(u) - 0.7}l1.4 1.4m0 -1.4l-1.4 1.4`, class: "cross" });
  const path = (points, cls) => {
    if (!points.length) return [];
    return [drawn("polyline", { points: points.map(([a, u]) => `${a},${y(u)}`).join(" "), class: cls })];
  };
  const [a, u] = paper.point;
  const pencil = paper.name
    ? [
        drawn("path", { d: `M${left} ${y(u)}h${wide}M${a} 0v${high}`, class: "hair" }),
        drawn("circle", { cx: a, cy: y(u), r: 1.2 / paper.zoom, class: "pencil" }),
      ]
    : [];
  return [...path(paper.line, "drawn-line"), ...path(paper.laying, "laying"), ...paper.crosses.map(cross), ...pencil];
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
