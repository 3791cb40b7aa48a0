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
/* What stands as it should is left alone: even the same words written again would be laid out again. */
function written(element, text) {
  if (element.textContent !== text) element.textContent = text;
}
function set(element, name, value) {
  if (element.getAttribute(name) !== String(value)) element.setAttribute(name, value);
}
const drawnFrom = {};
/* Whether of a part of the page something else is told than what it was drawn from. */
function isNews(part, told) {
  const text = JSON.stringify(told);
  if (drawnFrom[part] === text) return false;
  drawnFrom[part] = text;
  return true;
}

/* A button, what a press of it does, and what stands in it: words, a picture. */
function button(does, attributes, ...inside) {
  const one = made("button", { type: "button", ...attributes }, ...inside);
  one.addEventListener("click", does);
  return one;
}

/* ---- what was packed into the page ---- */
class NotThere extends Error {}
const network = globalThis.fetch;
async function beside(address) {
  /* Of a page in a folder a part is a file of the same server. */
  const answer = await network(address).catch(() => ({ ok: false }));
  if (!answer.ok) throw new NotThere(`The file ${address.split("?")[0]} cannot be had. A page in a folder comes from a web server: load it again, or tell your teacher.`);
  return new Uint8Array(await answer.arrayBuffer());
}
function fromBase64(text) {
  if (Uint8Array.fromBase64) return Uint8Array.fromBase64(text);
  const letters = atob(text), bytes = new Uint8Array(letters.length);
  for (let n = 0; n < bytes.length; n += 1) bytes[n] = letters.charCodeAt(n);
  return bytes;
}
async function unpacked(id) {
  const part = by(id), address = part.dataset.beside;
  const bytes = address ? await beside(address) : fromBase64(part.textContent);
  part.remove();
  if (bytes[0] !== 0x1f || bytes[1] !== 0x8b) return bytes; /* some servers send what is packed unpacked */
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}
const INSIDE = "https://inside.invalid/";
async function interpreter() {
  const [main, module, wasm, library, lock] = await Promise.all(["pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json"].map(unpacked));
  await told("The interpreter is starting.", 20);
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
  await told("The program is being read.", 70);
  found.unpackArchive(await unpacked("msgspec.whl"), "wheel");
  found.unpackArchive(await unpacked("program.zip"), "zip", { extractDir: "/program" });
  await told("The bench is being laid out.", 75);
  found.runPython("import sys; sys.path.insert(0, '/program')");
  return found.pyimport("sim.page.bridge");
}
/* Shares are of the whole time, as measured; the browser gets a moment to draw them. */
async function told(words, share) {
  performance.mark(words, { detail: share });
  by("how-far").textContent = words;
  by("progress").value = share;
  await new Promise((resolve) => { setTimeout(resolve); });
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
  try {
    for (let part; (part = localStorage.getItem(`${PREFIX}${name}:${parts.length}`)) !== null; ) parts.push(part);
  } catch { /* told when something is to be kept */ }
  return { text: parts.join(""), count: parts.length };
}
let pending = "";
function keep({ lines, waited }) {
  if (!lines) return;
  record.lines += lines;
  if (!waited) record.saved = false;
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
  toldHow();
}
function toldHow() {
  written(by("kept"), `${record.name}: ${record.memory ? "only in memory" : "kept in this browser"}`);
}
/* A record from its beginning: where it stands here already, what follows goes after it. */
function keepWhole(answer) {
  const { text, count } = storedLines(record.name);
  if (text !== answer.lines) {
    keep(answer);
    for (let n = count - 1; n > 0 && !record.memory; n -= 1) localStorage.removeItem(`${PREFIX}${record.name}:${n}`);
    return;
  }
  Object.assign(record, { lines: text, count, saved: false });
  toldHow();
}
async function taken(name) {
  /* One tab at a time: a lock of the browser's, or, where it gives none, a question to the other tabs.
     Gives what lets the name go again, or null where another tab has it. */
  const whole = PREFIX + name;
  if (navigator.locks) {
    try {
      return await new Promise((resolve, reject) => {
        navigator.locks.request(whole, { ifAvailable: true }, (lock) => {
          if (lock === null) return void resolve(null);
          return new Promise((letGo) => resolve(letGo));
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
  return free ? () => channel.close() : null;
}
/* What stands in a field and is not on the record yet goes there before the page is left or saved. */
function finishWriting() {
  if (seen) wish({ leave: true });
}
function save() {
  finishWriting();
  given(record.name, record.lines, "application/x-ndjson");
  record.saved = true;
}
function given(name, text, type) {
  const link = made("a", { href: URL.createObjectURL(new Blob([text], { type })), download: name });
  document.body.append(link);
  link.click();
  link.remove();
  URL.revokeObjectURL(link.href);
}
addEventListener("beforeunload", (event) => {
  finishWriting();
  if (!record.saved) event.preventDefault();
});
addEventListener("pagehide", finishWriting);
document.addEventListener("visibilitychange", () => { if (document.hidden) finishWriting(); });
