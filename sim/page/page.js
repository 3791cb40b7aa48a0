/* ---- the conversation with the model ---- */
let bench, fixed, seen;
const idle = globalThis.requestIdleCallback ?? setTimeout;
/* What touched the page last, or what it is made for at first: words for keys are of no use to a finger. */
let by_finger = matchMedia("(hover:none) and (pointer:coarse)").matches;
addEventListener("pointerdown", (event) => { by_finger = event.pointerType !== "mouse"; }, true);
/* The open page is marked in the next idle moments, so that feedback need not wait for it. */
function wish(wanted) {
  const answer = JSON.parse(bench.do(JSON.stringify({ ...wanted, by_finger })));
  shownAndKept(answer);
  if (performance.getEntriesByName("rehearsed").length) beforehand(() => bench.ahead());
  if (answer.saves) save();
  if (answer.file) given(answer.file.name, answer.file.text, "text/csv");
  return answer;
}
/* A fault in the drawing loses no line, and is said. */
function shownAndKept(answer) {
  try { show(answer); } finally { keep(answer); }
}
const FAULT = "Something went wrong on this page. What you did is kept: save the file, and load the page again.";
addEventListener("error", () => { if (seen) say({ text: FAULT, kind: "trouble" }); });
function show(answer) {
  seen = { ...seen, ...answer };
  if (answer.scene) drawScene(answer.scene);
  if (answer.falling) drawFalling({ ...seen.scene, ...answer.falling });
  if (answer.note) say(answer.note, answer.happened);
  if (answer.blocks) {
    drawPage(answer);
    by("help").hidden = !answer.help;
    for (const part of [by("work"), document.querySelector("header")]) part.inert = answer.help;
    if (answer.help) by("help-close").focus(); else follow(answer);
    if (answer.remarked) named(answer.focus)?.scrollIntoView(); /* what was asked for stands below the button */
  }
}
/* At the foot stands what is said; read aloud is what happened, and what is said where that is new. */
function say(note, happened = "") {
  const place = by("said"), fresh = place.textContent !== note.text;
  if (fresh) place.textContent = note.text;
  place.className = note.kind;
  const thing = document.activeElement.closest(".thing");
  const described = thing && by(thing.getAttribute("aria-describedby")).textContent === note.text;
  const words = [happened, fresh && !described ? note.text : ""].filter(Boolean).join(" ");
  if (words) by("heard").replaceChildren(made("span", {}, words));
}
function follow(answer) {
  const now = document.activeElement;
  if (answer.focus !== fixed.bench) {
    const wanted = named(answer.focus);
    if (wanted && wanted !== now) {
      wanted.focus();
      if (wanted.matches("input,:is(th,td) textarea")) wanted.select(); /* as after Tab: what is typed next takes the place of what stands there */
    }
    return;
  }
  if (now === by("dial")) return;
  const thing = answer.scene.thing && document.querySelector(`.thing[data-thing="${CSS.escape(answer.scene.thing)}"]`);
  /* The focus is on the bench for the model: it goes there from nowhere, the page, and the help that is closed. */
  const lost = now === document.body || by("page").contains(now) || by("help").contains(now);
  if (thing && thing !== now) thing.focus({ preventScroll: true });
  else if (!thing && lost) by("bench").focus({ preventScroll: true });
}
/* No frame is drawn while the page is out of sight, and the model is told of no time then. */
let leftAt = 0;
document.addEventListener("visibilitychange", () => {
  if (!seen) return;
  if (document.hidden) leftAt = Date.now();
  else show(JSON.parse(bench.back((Date.now() - leftAt) / 1000)));
});
let last = 0, sinceTold = 0;
function frame(now) {
  requestAnimationFrame(frame);
  const passed = Math.max(now - last, 0) / 1000;
  last = now;
  sinceTold += passed;
  const quick = seen.scene.in_the_air || (seen.falling && seen.falling.in_the_air);
  if (quick || sinceTold >= 0.1) {
    const answer = JSON.parse(bench.tick(sinceTold));
    sinceTold = 0;
    if (answer.scene) seen.falling = null;
    shownAndKept(answer);
  }
}

/* ---- the keyboard ---- */
addEventListener("keydown", (event) => {
  if (!seen || event.isComposing || ["Tab", "Shift", "Control", "Alt", "AltGraph", "Meta"].includes(event.key)) return;
  const on = event.target;
  if (on === by("dial") && !["F1", "F2"].includes(event.key)) {
    if (event.key === "Escape") by("bench").focus({ preventScroll: true });
    return;
  }
  const field = on.matches("input[data-name],textarea[data-name]");
  if (!field) by_finger = false; /* in a field the keys may be drawn on the screen */
  const plain = ["Enter", " "].includes(event.key) && on.closest("button,summary,a,input[type=file]");
  if (plain && !on.matches(".thing")) return;
  if (event.key === " " && on.matches(".thing")) event.preventDefault();
  const always = ["F1", "F2", "Escape"].includes(event.key) || event.ctrlKey;
  if (field && !always && !(event.key === "Enter" && !event.shiftKey) && !(["ArrowUp", "ArrowDown"].includes(event.key) && on.matches("td input,:is(th,td) textarea"))) return;
  if (field && event.ctrlKey && event.key !== "z") return;
  if (!field && !always && !on.closest("#bench") && on !== document.body && !on.matches("#paper")) return;
  if (by("letters-box").contains(on) && !always) return;
  const answer = wish({ key: event.key, shift: event.shiftKey, control: event.ctrlKey, alt: event.altKey });
  if (answer.handled) event.preventDefault();
});
addEventListener("keyup", (event) => { if (event.key === " " && event.target.matches && event.target.matches(".thing")) event.preventDefault(); });
/* What is written in stays in sight: when a table hides it, when a keyboard on the screen takes room,
   when Tab comes to what is half in sight, with which Firefox is content. */
const WRITTEN_IN = "#book input,#book textarea,#dial";
addEventListener("resize", () => {
  const on = document.activeElement;
  if (on.matches(WRITTEN_IN)) on.scrollIntoView({ block: "nearest", inline: "nearest" });
});
addEventListener("focusin", (event) => {
  if (!seen) return;
  if (event.target.matches(WRITTEN_IN + ",#page button:focus-visible")) event.target.scrollIntoView({ block: "nearest", inline: "nearest" });
  const name = event.target.dataset && event.target.dataset.name;
  if (name && by("page").contains(event.target)) { if (name !== seen.focus) wish({ focus: name }); }
  else if ([by("bench"), by("dial")].includes(event.target) && seen.focus !== fixed.bench) wish({ focus: fixed.bench });
});

/* Keys as buttons, in groups by what they do. */
function lettersOf(letters) {
  const groups = [];
  for (const letter of letters) {
    if (letter.name) groups.push([]);
    groups.at(-1).push(letter);
  }
  return groups.map((group) => {
    const { help } = group[0], several = group.length > 1;
    const buttons = group.map(({ key, number, finger }) => {
      const words = several ? finger : help, named = several ? `${finger} ${key}: ${help}` : `${help} ${key}`;
      return button(() => wish({ letter: number }), { "aria-label": named }, `${words} `, made("kbd", { "aria-hidden": "true" }, key));
    });
    return made("div", {}, ...(several ? [made("span", {}, help)] : []), ...buttons);
  });
}

/* ---- from the loading to the work ---- */
function begin(answer) {
  by("opening").hidden = true;
  by("work").hidden = false;
  for (const one of ["undo", "ask", "save", "jump"]) by(one).hidden = false;
  by("help").append(by("licences"));
  layOut(fixed.things);
  by("pages").replaceChildren(...fixed.pages.map((name, number) => button(() => wish({ page: number }), {}, name)));
  by("letters").append(...lettersOf(fixed.letters));
  by("hands").textContent = fixed.hands;
  by("help-rows").replaceChildren(...fixed.help.map(([keys, does]) => made("div", {}, made("dt", {}, keys), made("dd", {}, does))));
  show(answer);
  keepWhole(answer);
  if (by_finger) wish({});
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
async function open(name, bytes) {
  const letGo = await taken(name);
  if (!letGo) { by("how-far").textContent = `${name} is open in another tab: go on there, or close that tab first.`; return; }
  try {
    const answer = JSON.parse(bench.open(encoded(bytes), name));
    record.name = name;
    begin(answer);
  } catch (problem) {
    letGo();
    by("how-far").textContent = String(problem.message).trim().split("\n").at(-1).replace(/^[\w.]+: /, "");
  }
}
const goOn = (name) => open(name, new TextEncoder().encode(storedLines(name).text));
/* What is slow is done beforehand, a little in each moment in which nothing else is to be done. */
function beforehand(begun, whenDone = () => {}) {
  let pieces;
  const next = (moment) => {
    pieces ??= begun();
    do {
      if (pieces.next().done) { pieces.destroy(); whenDone(); return; }
    } while (moment?.timeRemaining() > 0);
    idle(next);
  };
  idle(next);
}
async function offers() {
  if (by("class.json")) offerPlaces(JSON.parse(new TextDecoder().decode(await unpacked("class.json"))));
  by("offers").hidden = false;
  by("progress").hidden = true;
  told("Ready.", 100);
  performance.mark("ready");
  by("begun").hidden = !storedNames().length;
  for (const name of storedNames()) {
    by("begun").append(made("p", {}, button(() => goOn(name), {}, `Go on with ${name}`)));
  }
  by("new").addEventListener("click", async () => {
    const name = freshName();
    await taken(name);
    record.name = name;
    begin(JSON.parse(bench.begin(name)));
  });
  by("file").addEventListener("change", async () => {
    const file = by("file").files[0];
    if (file) open(unused(file.name), new Uint8Array(await file.arrayBuffer()));
    by("file").value = ""; /* so that the same file can be chosen again, once it is mended */
  });
  (by("place") || by("new")).focus();
}
by("save").addEventListener("click", save);
by("undo").addEventListener("click", () => wish({ key: "z", control: true }));
by("ask").addEventListener("click", () => wish({ key: "F1" }));
for (const link of by("jump").children) {
  link.addEventListener("click", (event) => {
    event.preventDefault();
    by(link.hash.slice(1)).scrollIntoView();
  });
}
by("tell").addEventListener("click", () => wish({ key: "F2" }));
by("help-close").addEventListener("click", () => wish({ key: "F1" }));
by("opening").append(by("licences")); /* long: what is to be seen first does not wait for it */
(async () => {
  try {
    const program = await interpreter();
    fixed = JSON.parse(program.contents());
    bench = program.PageBench();
    beforehand(() => program.rehearsal(), () => performance.mark("rehearsed"));
    offers();
  } catch (problem) {
    told(problem instanceof NotThere ? problem.message : "This browser cannot run the page: a newer one is needed. " + String(problem), 0);
    console.error(problem);
  }
})();
