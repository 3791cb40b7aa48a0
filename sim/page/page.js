"use strict";
/* Draws what the model says and tells it what the person did. No rule of the practical stands here. */
const by = (id) => document.getElementById(id);
const SVG = "http://www.w3.org/2000/svg";
const made = (tag, attributes = {}, ...inside) => filled(document.createElement(tag), attributes, inside);
const drawn = (tag, attributes = {}, ...inside) => filled(document.createElementNS(SVG, tag), attributes, inside);
function filled(element, attributes, inside) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== undefined && value !== false) element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...inside);
  return element;
}

/* ---- what was packed into the page ---- */
async function unpacked(id) {
  const letters = atob(by(id).textContent.trim());
  const bytes = Uint8Array.from(letters, (one) => one.charCodeAt(0));
  by(id).remove();
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}
const INSIDE = "https://inside.invalid/";
async function interpreter() {
  const [main, module, wasm, library, lock] = await Promise.all(["pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json"].map(unpacked));
  told("The interpreter is starting.", 25);
  const kept = { "pyodide.asm.wasm": ["application/wasm", wasm], "python_stdlib.zip": ["application/zip", library] };
  /* The interpreter asks for its two files by address: they are answered from the page itself. */
  globalThis.fetch = async (address) => {
    const found = kept[String(address.url ?? address).replace(INSIDE, "")];
    if (!found) throw new TypeError("this page asks no network");
    return new Response(found[1], { headers: { "Content-Type": found[0] } });
  };
  const address = (bytes) => URL.createObjectURL(new Blob([bytes], { type: "text/javascript" }));
  const { loadPyodide } = await import(address(main));
  const { default: createPyodideModule } = await import(address(module));
  const found = await loadPyodide({
    indexURL: INSIDE, stdLibURL: INSIDE + "python_stdlib.zip", packageBaseUrl: INSIDE,
    lockFileContents: new TextDecoder().decode(lock), createPyodideModule,
  });
  told("The program is being read.", 75);
  found.unpackArchive(await unpacked("msgspec.whl"), "wheel");
  found.unpackArchive(await unpacked("program.zip"), "zip", { extractDir: "/program" });
  found.runPython("import sys; sys.path.insert(0, '/program')");
  return found.pyimport("sim.page.bridge");
}
function told(words, share) {
  by("how-far").textContent = words;
  by("progress").value = share;
}

/* ---- the browser's own storage: one key for each answer that brought new lines ---- */
const PREFIX = "rebound:";
const record = { name: "", lines: "", count: 0, saved: true, memory: false };
function storedNames() {
  const names = new Set();
  try {
    for (let n = 0; n < localStorage.length; n += 1) {
      const key = localStorage.key(n);
      if (key.startsWith(PREFIX)) names.add(key.slice(PREFIX.length, key.lastIndexOf(":")));
    }
  } catch { /* told when something is to be kept */ }
  return [...names].sort().reverse();
}
function storedLines(name) {
  const parts = [];
  for (let n = 0; ; n += 1) {
    const part = localStorage.getItem(`${PREFIX}${name}:${n}`);
    if (part === null) return { text: parts.join(""), count: n };
    parts.push(part);
  }
}
let pending = "";
function keep(lines) {
  if (!lines) return;
  record.lines += lines;
  record.saved = false;
  pending += lines;
  try {
    localStorage.setItem(`${PREFIX}${record.name}:${record.count}`, pending);
    record.count += 1;
    pending = "";
    if (record.memory) { record.memory = false; show(JSON.parse(bench.in_memory(""))); }
  } catch (problem) {
    if (!record.memory) {
      record.memory = true;
      const why = problem && problem.name === "QuotaExceededError" ? "This browser's storage is full: save the file before you close the page." : "This browser keeps nothing of this page: save the file before you close the page.";
      show(JSON.parse(bench.in_memory(why)));
    }
  }
  by("kept").textContent = record.memory ? " only in memory" : " kept in this browser";
}
async function taken(name) {
  /* One tab at a time: a lock of the browser's, or, where it gives none, a question to the other tabs. */
  const whole = PREFIX + name;
  if (navigator.locks) {
    try {
      return await new Promise((resolve, reject) => {
        navigator.locks.request(whole, { ifAvailable: true }, (lock) => {
          resolve(lock !== null);
          return lock === null ? undefined : new Promise(() => {});
        }).catch(reject);
      });
    } catch { /* asked the other way */ }
  }
  const channel = new BroadcastChannel(whole);
  const free = await new Promise((resolve) => {
    channel.onmessage = () => resolve(false);
    channel.postMessage("who");
    setTimeout(() => resolve(true), 400);
  });
  if (free) channel.onmessage = (event) => { if (event.data === "who") channel.postMessage("here"); };
  else channel.close();
  return free;
}
function save() {
  const link = made("a", { href: URL.createObjectURL(new Blob([record.lines], { type: "application/x-ndjson" })), download: record.name });
  document.body.append(link);
  link.click();
  link.remove();
  record.saved = true;
}
addEventListener("beforeunload", (event) => { if (!record.saved) event.preventDefault(); });

/* ---- the conversation with the model ---- */
let bench, fixed, seen;
function wish(wanted) {
  const answer = JSON.parse(bench.do(JSON.stringify(wanted)));
  show(answer);
  keep(answer.lines);
  if (answer.saves) save();
  return answer;
}
function show(answer) {
  seen = { ...seen, ...answer };
  if (answer.scene) drawScene(answer.scene);
  if (answer.falling) drawFalling({ ...seen.scene, ...answer.falling });
  if (answer.note) say(answer.note);
  if (answer.blocks) {
    drawPage(answer);
    by("help").hidden = !answer.help;
    by("work").inert = answer.help;
    if (answer.help) by("help-close").focus(); else follow(answer);
  }
}
function say(note) {
  const place = by("said");
  if (place.textContent !== note.text) place.textContent = note.text;
  place.className = note.kind;
}
function named(name) {
  return name && document.querySelector(`#book [data-name="${CSS.escape(name)}"]`);
}
function follow(answer) {
  const now = document.activeElement;
  if (answer.focus !== fixed.bench) {
    const wanted = named(answer.focus);
    if (wanted && wanted !== now) wanted.focus();
    return;
  }
  const thing = answer.scene.thing && document.querySelector(`[data-thing="${CSS.escape(answer.scene.thing)}"]`);
  if (thing && thing !== now) thing.focus({ preventScroll: true });
  else if (!thing && (now === document.body || by("page").contains(now))) by("bench").focus({ preventScroll: true });
}
let last = 0, sinceTold = 0;
function frame(now) {
  const passed = Math.max(now - last, 0) / 1000;
  last = now;
  sinceTold += passed;
  const quick = seen.scene.in_the_air || (seen.falling && seen.falling.in_the_air);
  if (quick || sinceTold >= 0.1) {
    const answer = JSON.parse(bench.tick(sinceTold));
    sinceTold = 0;
    if (answer.scene) seen.falling = null;
    show(answer);
    keep(answer.lines);
  }
  requestAnimationFrame(frame);
}

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
  return blocks.flatMap((block) => {
    if (block.kind === "words") {
      if (block.as === "title" || block.as === "part") part = block.text;
      return [wordsOf(block)];
    }
    if (block.kind === "field") return fieldOf(block);
    if (block.kind === "button") return [buttonOf(block), " "];
    if (block.kind === "table") return [tableOf(block, part || seen.page)];
    if (block.kind === "paper") return paperOf(block);
    return [];
  });
}
function wordsOf(block) {
  if (block.as === "title") return made("h3", {}, block.text);
  if (block.as === "part") return made("h4", {}, block.text);
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
function tableOf(table, caption) {
  const heading = (cell) => (cell.kind ? cell.text : cell);
  const cellOf = (tag, cell, label, more = {}) => {
    if (!cell.kind) return made(tag, more, cell);
    const box = inputOf(cell, label);
    return made(tag, more, box, ...refusalOf(cell, box));
  };
  const head = made("tr", {}, ...table.headings.map((cell, n) => cellOf("th", cell, `heading of column ${n + 1}`, { scope: "col" })));
  const rows = table.rows.map((row, r) => {
    const cells = row.cells.map((cell, n) => cellOf("td", cell, `${heading(table.headings[n]) || `column ${n + 1}`}, row ${r + 1}`));
    if (row.struck_out !== null) cells.at(-1).append(made("span", { class: "note" }, " " + row.struck_out));
    return made("tr", { class: row.struck_out === null ? null : "struck" }, ...cells);
  });
  return made("table", {}, made("caption", {}, caption), made("thead", {}, head), made("tbody", {}, ...rows));
}
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
  const inner = drawn("svg", { x: left, y: 0, width: wide, height: high, viewBox: `${left} 0 ${wide} ${high}` }, ...lines, ...path(paper.line, "drawn-line"), ...path(paper.laying, "laying"), ...paper.crosses.map((one) => cross(one, 0.7, "cross")), drawn("circle", { cx: x(paper.point[0]), cy: y(paper.point[1]), r: 1.2 / paper.zoom, class: "pencil" }));
  const sheet = drawn("svg", { id: "paper", viewBox: `${left - margin.left} ${-1.5 / paper.zoom} ${wide + margin.left + 2 / paper.zoom} ${high + margin.low + 1.5 / paper.zoom}`, "data-name": paper.name, tabindex: paper.name ? 0 : null, role: paper.name ? "application" : "img", "aria-label": "sheet of graph paper" }, inner, ...axes);
  if (paper.name) {
    const place = (event) => {
      const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(sheet.getScreenCTM().inverse());
      return [at.x, low + high - at.y];
    };
    sheet.addEventListener("pointerdown", (event) => { event.preventDefault(); wish({ focus: paper.name }); wish({ place: place(event) }); wish({ press: paper.name }); });
  }
  return [made("div", { class: "tools" }, ...paper.tools.map(buttonOf)), sheet];
}

/* ---- the bench ---- */
const MM = 1000;
function drawScene(scene) {
  drawFalling(scene);
  drawThermometer(scene.thermometer);
  for (const button of by("things").children) refreshThing(button, scene);
  by("puddle").hidden = !scene.floor_wet;
}
function drawFalling(scene) {
  drawWall(scene);
  drawLens(scene.lens, scene.diameter_m);
}
let wallParts = null;
function wallOnce(scene) {
  const top = 1120, marks = [];
  by("wall").setAttribute("viewBox", `0 0 460 ${top + 60}`);
  const y = (metres) => top - metres * MM;
  for (let cm = 0; cm <= scene.rule_m * 100; cm += 1) {
    const long = cm % 10 === 0 ? 46 : cm % 5 === 0 ? 34 : 22;
    marks.push(drawn("line", { x1: 70, x2: 70 + long, y1: y(cm / 100), y2: y(cm / 100), class: "mark" }));
    if (cm % 10 === 0) marks.push(drawn("text", { x: 122, y: y(cm / 100) + 10, "font-size": 30, class: "number" }, String(cm)));
  }
  const flag = drawn("path", { d: "M0 0 L-60 -16 L-60 16 Z", class: "flag", transform: `translate(70 ${y(scene.flag_m)})` });
  const ball = drawn("g", { "data-thing": "held ball", class: "on-wall" }, drawn("circle", { r: (scene.diameter_m * MM) / 2, class: "ball" }), drawn("circle", { r: 5, cx: -6, cy: -7, class: "dot" }), drawn("circle", { r: 55, class: "grip" }));
  const tongs = drawn("path", { d: "M0 -14 L120 -60 M0 6 L124 -44", class: "tongs" });
  const eye = drawn("g", { class: "eye", "data-thing": "eye" }, drawn("line", { x1: 70, x2: 370, y1: 0, y2: 0, class: "level" }), drawn("path", { d: "M360 0 Q400 -30 440 0 Q400 30 360 0 Z", class: "lid" }), drawn("circle", { cx: 400, cy: 0, r: 12, class: "pupil" }), drawn("rect", { x: 330, y: -60, width: 130, height: 120, class: "grip" }));
  const camera = drawn("rect", { x: 330, y: -18, width: 50, height: 36, class: "camera" });
  by("wall").replaceChildren(drawn("rect", { x: 0, y: top, width: 460, height: 60, class: "floor" }), drawn("rect", { x: 70, y: y(scene.rule_m) - 6, width: 100, height: scene.rule_m * MM + 6, class: "rule" }), ...marks, flag, tongs, ball, camera, eye);
  wallParts = { y, ball, tongs, eye, camera, top };
}
function drawWall(scene) {
  if (!wallParts) wallOnce(scene);
  const { y, ball, tongs, eye, camera } = wallParts;
  const there = scene.ball;
  ball.style.display = there ? "" : "none";
  tongs.style.display = there && there.held ? "" : "none";
  if (there) {
    const at = y(there.lowest_m + scene.diameter_m / 2);
    ball.setAttribute("transform", `translate(215 ${at})`);
    tongs.setAttribute("transform", `translate(215 ${at})`);
    ball.setAttribute("class", there.wet ? "on-wall wet" : "on-wall");
  }
  eye.setAttribute("transform", `translate(0 ${y(seen.scene.eye_m)})`);
  const stand = seen.scene.camera_m;
  camera.style.display = stand === null ? "none" : "";
  if (stand !== null) camera.setAttribute("transform", `translate(0 ${y(stand)})`);
}
let lensRule = "";
function drawLens(lens) {
  const strip = lens.strip_m * MM, high = 360, scale = high / strip, wide = 360;
  const y = (metres) => high / 2 - (metres - lens.centre_m) * MM * scale;
  const svg = by("lens");
  const at = String(lens.centre_m);
  if (!svg.querySelector("g")) {
    svg.setAttribute("viewBox", `0 0 ${wide} ${high}`);
    svg.append(drawn("g"), drawn("g"));
  }
  if (at !== lensRule) {
    lensRule = at;
    const first = Math.ceil(lens.centre_m * MM - strip / 2), marks = [drawn("rect", { x: 0, y: y(1.0), width: 150, height: Math.max(y(0) - y(1.0), 0), class: "rule" }), drawn("rect", { x: 0, y: y(0), width: wide, height: high, class: "floor" })];
    for (let mm = Math.max(first, 0); mm <= Math.min(lens.centre_m * MM + strip / 2, 1000); mm += 1) {
      const long = mm % 10 === 0 ? 80 : mm % 5 === 0 ? 60 : 40;
      marks.push(drawn("line", { x1: 150 - long, x2: 150, y1: y(mm / MM), y2: y(mm / MM), class: "mark fine" }));
      if (mm % 10 === 0) marks.push(drawn("text", { x: 8, y: y(mm / MM) + 9, "font-size": 26, class: "number" }, String(mm / 10)));
    }
    svg.firstChild.replaceChildren(...marks);
  }
  const ball = lens.ball, layer = svg.lastChild;
  if (!ball) layer.replaceChildren();
  else {
    const top = y(ball.top_m), low = y(ball.lowest_m), radius = (low - top) / 2;
    layer.replaceChildren(drawn("circle", { cx: 150 + radius, cy: (top + low) / 2, r: radius, class: "ball" }), ...(ball.held ? [drawn("path", { d: `M${150 + 1.6 * radius} ${(top + low) / 2}L${wide} ${(top + low) / 2 - 40}`, class: "tongs" })] : []));
  }
  if (by("lens-heading").textContent !== lens.heading) by("lens-heading").textContent = lens.heading;
}
function drawThermometer(thermometer) {
  const [lowest, highest] = thermometer.ends, span = 40;
  const thread = lowest + thermometer.thread * (highest - lowest);
  const middle = Math.min(Math.max(Math.round(thread / 10) * 10, lowest + span / 2), highest - span / 2);
  const x = (degrees) => 10 + ((degrees - middle + span / 2) / span) * 460;
  const marks = [];
  for (let degree = middle - span / 2; degree <= middle + span / 2; degree += 1) {
    const long = degree % 10 === 0 ? 30 : degree % 2 === 0 ? 20 : 10;
    marks.push(drawn("line", { x1: x(degree), x2: x(degree), y1: 42, y2: 42 + long, class: "mark" }));
    if (degree % 10 === 0) marks.push(drawn("text", { x: x(degree), y: 92, "font-size": 20, "text-anchor": "middle", class: "number" }, String(degree)));
  }
  by("thermometer").setAttribute("viewBox", "0 0 480 100");
  by("thermometer").replaceChildren(drawn("rect", { x: 0, y: 8, width: 480, height: 34, class: "glass" }), drawn("rect", { x: 0, y: 19, width: Math.max(x(thread), 0), height: 12, class: "spirit" }), ...marks);
  by("thermometer-in").textContent = `(${thermometer.in})`;
}
const PICTURES = {
  kettle: "M8 36 L12 14 H30 L34 36 Z M34 18 Q46 18 42 32 L34 32 M12 18 L2 10",
  jug: "M10 38 L12 8 H32 L34 38 Z M34 14 Q44 14 42 28 L34 30",
  beaker: "M10 6 V38 H38 V6",
  thermometer: "M6 22 H42 M6 17 H36 V27 H6 Z",
  "dial up": "M24 6 V38 M10 22 H38",
  "dial down": "M10 22 H38",
  ball: "M24 10 A12 12 0 1 0 24.1 10 Z",
  towel: "M8 8 H40 V36 H8 Z M8 14 H40 M8 30 H40",
  eye: "M6 22 Q24 4 42 22 Q24 40 6 22 Z M24 16 A6 6 0 1 0 24.1 16 Z",
  stopwatch: "M24 10 A14 14 0 1 0 24.1 10 Z M24 10 V4 M24 24 V15 M24 24 L31 27",
  camera: "M6 14 H42 V36 H6 Z M24 18 A7 7 0 1 0 24.1 18 Z",
};
function thingOf(thing) {
  const picture = drawn("svg", { viewBox: "0 0 48 44", "aria-hidden": "true" }, drawn("rect", { x: 11, width: 26, y: 38, height: 0, class: "water" }), drawn("path", { d: PICTURES[thing.name] ?? "M8 8 H40 V36 H8 Z", class: "outline" }));
  const words = made("small", {}, thing.name);
  const button = made("button", { type: "button", class: "thing", "data-thing": thing.name, "data-onto": ["beaker", "towel"].includes(thing.name) ? thing.name : /^dial/.test(thing.name) ? "bath" : null, "aria-label": thing.words }, picture, words);
  button.addEventListener("focus", () => wish({ thing: thing.name }));
  button.addEventListener("click", (event) => {
    if (event.detail === 0 || document.activeElement === button && button.dataset.had) wish({ use: thing.name });
    else wish({ click: thing.name });
  });
  return button;
}
function refreshThing(button, scene) {
  const name = button.dataset.thing, words = button.querySelector("small");
  let text = name;
  if (name === "stopwatch") text = `${scene.stopwatch.shows} ${scene.stopwatch.word}`;
  if (name.startsWith("dial")) text = `${name} ${scene.bath.dial} (${scene.bath.word})`;
  if (name === "ball") text = `${name} (${scene.place}${scene.wet ? ", wet" : ""})`;
  if (name === "thermometer") text = `${name} (${scene.thermometer.in})`;
  if (words.textContent !== text) words.textContent = text;
  if (name === "beaker") {
    const high = 30 * scene.beaker_full, water = button.querySelector(".water");
    water.setAttribute("y", 38 - high);
    water.setAttribute("height", high);
  }
  button.classList.toggle("carried", (name === "kettle" && scene.poured === "hot") || (name === "jug" && scene.poured === "cold"));
}
let carry = null;
addEventListener("pointerdown", (event) => {
  const from = event.target.closest("[data-thing]");
  if (!from) return;
  from.dataset.had = document.activeElement === from ? "1" : "";
  carry = { thing: from.dataset.thing, at: [event.clientX, event.clientY], began: event.timeStamp, moved: false };
});
function heightAt(event) {
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(by("wall").getScreenCTM().inverse());
  return (wallParts.top - at.y) / MM;
}
addEventListener("pointermove", (event) => {
  if (!carry) return;
  if (Math.hypot(event.clientX - carry.at[0], event.clientY - carry.at[1]) > 8) carry.moved = true;
  if (!carry.moved) return;
  if (carry.thing === "eye" && by("wall").contains(event.target)) wish({ eye_m: heightAt(event) });
  if (carry.thing === "held ball" && by("wall").contains(event.target)) wish({ hand_m: heightAt(event) });
});
addEventListener("pointerup", (event) => {
  const done = carry;
  carry = null;
  if (!done) return;
  const under = document.elementFromPoint(event.clientX, event.clientY);
  const onto = under && under.closest("[data-onto]");
  if (!done.moved) {
    if (done.thing === "held ball" && by("wall").contains(event.target)) wish({ click: done.thing });
    return;
  }
  if (onto && !["eye"].includes(done.thing)) wish({ carry: done.thing, onto: onto.dataset.onto, carried_s: (event.timeStamp - done.began) / 1000 });
});
addEventListener("pointercancel", () => { carry = null; });

/* ---- the keyboard ---- */
addEventListener("keydown", (event) => {
  if (!seen || event.isComposing || event.key === "Tab") return;
  const on = event.target, field = on.matches("input[data-name],textarea[data-name]");
  const plain = ["Enter", " "].includes(event.key) && on.closest("button,summary,a,input[type=file]");
  if (plain && !on.matches(".thing")) return;
  if (event.key === " " && on.matches(".thing")) event.preventDefault();
  const always = ["F1", "F2", "Escape"].includes(event.key) || (event.ctrlKey && event.key !== "Control");
  if (field && !always && !(event.key === "Enter" && !event.shiftKey) && !(["ArrowUp", "ArrowDown"].includes(event.key) && on.matches("td input,th input"))) return;
  if (field && event.ctrlKey && event.key !== "z") return;
  if (!field && !always && !on.closest("#bench") && on !== document.body && !on.matches("#paper")) return;
  if (by("letters-box").contains(on) && !always) return;
  const answer = wish({ key: event.key, shift: event.shiftKey, control: event.ctrlKey, alt: event.altKey });
  if (answer.handled) event.preventDefault();
});
addEventListener("keyup", (event) => { if (event.key === " " && event.target.matches && event.target.matches(".thing")) event.preventDefault(); });
addEventListener("focusin", (event) => {
  if (!seen) return;
  const name = event.target.dataset && event.target.dataset.name;
  if (name && by("page").contains(event.target)) { if (name !== seen.focus) wish({ focus: name }); }
  else if (event.target === by("bench") && seen.focus !== fixed.bench) wish({ focus: fixed.bench });
});

/* ---- from the loading to the work ---- */
function begin(answer) {
  by("opening").hidden = true;
  by("work").hidden = false;
  by("save").disabled = false;
  by("things").replaceChildren(...fixed.things.map(thingOf));
  by("pages").replaceChildren(...fixed.pages.map((name, number) => {
    const ribbon = made("button", { type: "button" }, name);
    ribbon.addEventListener("click", () => wish({ page: number }));
    return ribbon;
  }));
  let group = null;
  for (const letter of fixed.letters) {
    if (letter.name) { group = made("div", {}, made("span", {}, letter.help)); group.dataset.help = letter.help; by("letters").append(group); }
    const button = made("button", { type: "button", "aria-label": `${letter.key}: ${group.dataset.help}` }, letter.key);
    button.addEventListener("click", () => wish({ letter: letter.number }));
    group.append(button);
  }
  by("help-rows").replaceChildren(...fixed.help.map(([keys, does]) => made("tr", {}, made("th", { scope: "row" }, keys), made("td", {}, does))));
  show(answer);
  keep(answer.lines);
  performance.mark("begun");
  requestAnimationFrame((now) => { last = now; frame(now); });
}
const SUFFIX = ".rebound.jsonl";
function unused(name) {
  const there = storedNames(), stem = name.replace(SUFFIX, "").replace(/:/g, ".");
  for (let n = 1; ; n += 1) {
    const found = (n === 1 ? stem : `${stem} (${n})`) + SUFFIX;
    if (!there.includes(found)) return found;
  }
}
function freshName() {
  const now = new Date(), two = (n) => String(n).padStart(2, "0");
  return unused(`practical ${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())} ${two(now.getHours())}.${two(now.getMinutes())}`);
}
const encoded = (bytes) => { let letters = ""; for (const one of bytes) letters += String.fromCharCode(one); return btoa(letters); };
async function open(name, bytes, stored) {
  if (!(await taken(name))) { by("how-far").textContent = `${name} is open in another tab: go on there, or close that tab first.`; return; }
  try {
    const answer = JSON.parse(bench.open(encoded(bytes), name));
    record.name = name;
    begin(answer);
    /* The whole record stands in the first part now: what followed it goes. */
    for (let n = 1; n < stored && !record.memory; n += 1) localStorage.removeItem(`${PREFIX}${name}:${n}`);
  } catch (problem) {
    by("how-far").textContent = String(problem.message).trim().split("\n").at(-1).replace(/^[\w.]+: /, "");
  }
}
async function offers() {
  by("offers").hidden = false;
  by("progress").hidden = true;
  told("Ready.", 100);
  performance.mark("ready");
  for (const name of storedNames()) {
    const go = made("button", { type: "button" }, `Go on with ${name}`);
    go.addEventListener("click", () => { const kept = storedLines(name); open(name, new TextEncoder().encode(kept.text), kept.count); });
    by("begun").append(made("p", {}, go));
  }
  by("new").addEventListener("click", async () => {
    const name = freshName();
    await taken(name);
    record.name = name;
    begin(JSON.parse(bench.begin(name)));
  });
  by("file").addEventListener("change", async () => {
    const file = by("file").files[0];
    if (file) open(unused(file.name), new Uint8Array(await file.arrayBuffer()), 0);
  });
  by("new").focus();
}
by("save").addEventListener("click", save);
by("help-close").addEventListener("click", () => wish({ key: "F1" }));
(async () => {
  try {
    const program = await interpreter();
    fixed = JSON.parse(program.contents());
    bench = program.PageBench();
    offers();
  } catch (problem) {
    told("This browser cannot run the page: a newer one is needed. " + String(problem), 0);
    console.error(problem);
  }
})();
