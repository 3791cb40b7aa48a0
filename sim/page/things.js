/* ---- the things on the bench: buttons that show their state, and can be carried ---- */
const used = (name, box) => drawn("use", { href: `#a-${name.replaceAll(" ", "-")}`, ...box });
const WHOLE = { x: 0, y: 0, width: 96, height: 84 };
/* What is laid over a thing's picture, and moves with its state. */
const OVER = {
  kettle: () => [used("kettle", WHOLE), steamOf("kettle", [92], 20)],
  beaker: () => [
    drawn("rect", { x: 25, width: 46, y: 78, height: 0, class: "water" }),
    ...guests("beaker", {
      ball: { x: 27, y: 48, width: 28, height: 28 },
      tongs: { x: 22, y: -18, width: 44, height: 84 },
    }),
    used("beaker", WHOLE),
    steamOf("beaker", [36, 48, 60], 76),
  ],
  ball: () => [
    used("dish", WHOLE),
    drawn("g", { class: "at tray" }, used("rubber", { x: 33, y: 34, width: 30, height: 30 })),
    drawn(
      "g",
      { class: "at tongs" },
      used("tongs", { x: 22, y: -4, width: 52, height: 66 }),
      used("rubber", { x: 33, y: 40, width: 30, height: 30 }),
    ),
  ],
  stopwatch: () => [
    used("stopwatch", WHOLE),
    drawn("path", { d: "M48 16L44 27H52Z", class: "hand" }),
    drawn("text", { x: 48, y: 53, "font-size": 21, "text-anchor": "middle", class: "digits" }),
  ],
};
function guests(vessel, { ball, tongs }) {
  const stem = { x: vessel === "bath" ? 70 : 46, y: vessel === "bath" ? -14 : -8, width: 60, height: 80 };
  return [
    drawn("g", { class: `at thermometer-${vessel}` }, used("thermometer", stem)),
    drawn("g", { class: `at in-${vessel}` }, used("tongs", tongs), used("rubber", ball)),
  ];
}
/* Wisps over water, or before a spout: how thick they are, the model says. */
function steamOf(vessel, places, y) {
  const wisps = places.map((x) => used("wisp", { x: x - 6, y: y - 36, width: 12, height: 36 }));
  return drawn("g", { class: "steam", "data-of": vessel }, ...wisps);
}
const ONTO = { beaker: "beaker", towel: "towel" };
function thingOf(thing) {
  const picture = drawn("svg", { viewBox: "0 -6 96 92", "aria-hidden": "true" });
  picture.append(...(OVER[thing.name] ? OVER[thing.name]() : [used(thing.name, WHOLE)]));
  const words = made("small", {}, thing.name);
  const one = button(
    () => {
      if (!carriedOff) wish({ use: thing.name });
    },
    {
      class: "thing",
      "data-thing": thing.name,
      "data-onto": ONTO[thing.name],
      "aria-describedby": `does-${thing.name.replaceAll(" ", "-")}`,
    },
    picture,
    words,
    made("kbd", { "aria-hidden": "true" }),
  );
  one.addEventListener("focus", () => {
    if (seen.scene.thing !== thing.name) wish({ thing: thing.name });
  });
  return one;
}
function layOut(things) {
  const dials = things.filter((thing) => thing.name.startsWith("dial"));
  by("does").replaceChildren(
    ...things.map((thing) => made("p", { id: `does-${thing.name.replaceAll(" ", "-")}` })),
  );
  by("things").replaceChildren(
    ...things.flatMap((thing) => {
      if (thing === dials[0]) return [bathOf(dials)];
      return dials.includes(thing) ? [] : [thingOf(thing)];
    }),
    ...fixed.letters.filter((letter) => letter.always).map(besides),
  );
}
/* What belongs to every drop, and is no thing that is carried. */
function besides(letter) {
  const picture = drawn("svg", { viewBox: "0 -6 96 92", "aria-hidden": "true" }, used("book", WHOLE));
  return button(
    () => wish({ letter: letter.number }),
    { class: "card" },
    picture,
    made("small", {}, letter.help),
    made("kbd", { "aria-hidden": "true" }, letter.key),
  );
}
function bathOf(dials) {
  const picture = drawn(
    "svg",
    { viewBox: "0 -6 200 92", "aria-hidden": "true" },
    ...guests("bath", {
      ball: { x: 22, y: 40, width: 28, height: 28 },
      tongs: { x: 14, y: -18, width: 44, height: 76 },
    }),
    used("tank", { x: 0, y: 0, width: 200, height: 84 }),
    steamOf("bath", [30, 64, 98], 22),
    drawn("path", { d: "M160 50V40", class: "hand" }),
    drawn("circle", { cx: 186, cy: 8, r: 3.5, class: "lamp" }),
    drawn("text", { x: 160, y: 26, "font-size": 11, "text-anchor": "middle", class: "digits" }),
    drawn("rect", { x: 124, y: -6, width: 76, height: 92, class: "grip", "data-thing": "dial" }),
  );
  const words = made("small", { id: "bath-words" });
  const { label, unit, lowest, highest, step } = fixed.dial;
  const field = made("input", { id: "dial", type: "number", min: lowest, max: highest, step, "aria-label": label });
  field.addEventListener("change", () => {
    if (Number.isFinite(field.valueAsNumber)) wish({ dial_c: field.valueAsNumber });
    field.value = seen.scene.bath.set_c;
  });
  const buttons = dials.map((thing) => {
    const dial = thingOf(thing);
    dial.querySelector("svg").setAttribute("viewBox", "0 0 44 44");
    dial.querySelector("use").setAttribute("width", 44);
    dial.querySelector("use").setAttribute("height", 44);
    return dial;
  });
  return made(
    "div",
    { class: "bath", "data-onto": "bath" },
    picture,
    made("span", { class: "dial" }, field, made("span", { "aria-hidden": "true" }, unit)),
    words,
    made("div", { class: "dials" }, ...buttons),
  );
}
function drawThings(scene) {
  for (const one of by("things").querySelectorAll(".thing")) {
    const name = one.dataset.thing,
      { shows, key } = scene.things[name];
    written(one.querySelector("small"), shows ? `${name} (${shows})` : name);
    written(one.querySelector("kbd"), key);
  }
  const box = by("things");
  const hands = scene.by_finger ? "finger" : "keys";
  if (document.body.dataset.hands !== hands) {
    document.body.dataset.hands = hands;
    fixed.things.forEach(({ words }, n) => written(by("does").children[n], words[hands]));
  }
  box.dataset.ball = scene.place;
  box.dataset.thermometer = scene.thermometer.in;
  box.dataset.poured = scene.poured;
  set(box.querySelector(".water"), "y", 78 - 61 * scene.beaker_full);
  set(box.querySelector(".water"), "height", 61 * scene.beaker_full);
  const watch = box.querySelector("[data-thing=stopwatch]");
  written(watch.querySelector(".digits"), scene.stopwatch.digits);
  set(watch.querySelector(".hand"), "transform", `rotate(${360 * scene.stopwatch.turn} 48 45)`);
  drawBath(carry?.bath ?? scene.bath);
  box.dataset.steam = scene.steam_still ? "still" : "rising";
  for (const steam of box.querySelectorAll(".steam")) set(steam, "opacity", scene.steam[steam.dataset.of]);
  set(box.querySelector("[data-of=beaker]"), "transform", `translate(0 ${-61 * scene.beaker_full})`);
  by("puddle").hidden = !scene.floor_wet;
}
/* The bath as it is, or as the hand on its dial has turned it until it lets go. */
function drawBath({ words, set_c, dial, changing }) {
  const bath = by("things").querySelector(".bath"),
    [shown] = words.split(", ");
  written(by("bath-words"), `bath (${words})`);
  written(bath.querySelector(".digits"), shown);
  if (by("dial").dataset.set !== String(set_c)) {
    by("dial").dataset.set = by("dial").value = set_c; /* and what is being written there stays */
  }
  bath.querySelector(".lamp").classList.toggle("lit", changing);
  set(bath.querySelector(".hand"), "transform", `rotate(${-135 + 270 * dial} 160 52)`);
}

/* ---- carrying, by mouse, pen or finger ---- */
const CLICK_PX = 8;
/* How far the bath's dial is dragged for a degree: half of one is more than a finger's tremble. */
const DIAL_PX_PER_K = 10;
let carry = null,
  carriedOff = false;
addEventListener("pointerdown", (event) => {
  carriedOff = false;
  const from = seen && event.isPrimary && event.target.closest("[data-thing],#lens");
  if (!from) return;
  carry = {
    from,
    thing: from.dataset.thing ?? "lens",
    at: [event.clientX, event.clientY],
    began: event.timeStamp,
    moved: false,
    eye_m: seen.scene.eye_m,
    hand_m: seen.scene.ball && seen.scene.ball.lowest_m,
  };
});
/* How far up a pointer has come since it went down, in metres of the picture it moves over. */
function raised(event, picture, metres) {
  return ((carry.at[1] - event.clientY) / by(picture).getScreenCTM().d) * metres;
}
addEventListener("pointermove", (event) => {
  if (!carry) return;
  const far = Math.hypot(event.clientX - carry.at[0], event.clientY - carry.at[1]);
  if (!carry.moved && far < CLICK_PX) return;
  if (!carry.moved) liftedUp();
  const fromWall = by("wall").contains(carry.from);
  if (carry.thing.startsWith("dial")) {
    /* Up or to the right is warmer, as in the window. */
    carry.turned_k = (event.clientX - carry.at[0] - (event.clientY - carry.at[1])) / DIAL_PX_PER_K;
    carry.bath = JSON.parse(bench.turned(carry.turned_k));
    drawBath(carry.bath);
  } else if (carry.thing === "lens")
    wish({ eye_m: carry.eye_m + raised(event, "lens", -seen.scene.lens.strip_m / LENS.high) });
  else if (carry.thing === "eye" && fromWall) wish({ eye_m: carry.eye_m + raised(event, "wall", 1 / MM) });
  else if (carry.thing === "held ball") {
    const beside = by("wall").contains(document.elementFromPoint(event.clientX, event.clientY));
    if (beside) wish({ hand_m: carry.hand_m + raised(event, "wall", 1 / MM) });
    carry.ghost.toggleAttribute("hidden", beside);
    carry.from.classList.toggle("in-hand", !beside);
  }
  if (carry.ghost) {
    carry.ghost.style.left = `${event.clientX}px`;
    carry.ghost.style.top = `${event.clientY}px`;
    over(event);
  }
});
function liftedUp() {
  carry.moved = true;
  const picture =
    carry.thing === "held ball"
      ? by("things").querySelector("[data-thing=ball] svg")
      : carry.from.querySelector("svg");
  if (!picture || carry.thing === "eye" || carry.thing.startsWith("dial")) return;
  carry.ghost = picture.cloneNode(true);
  carry.ghost.classList.add("ghost");
  carry.ghost.dataset.thing = carry.thing;
  document.body.append(carry.ghost);
  carry.from.classList.add("in-hand");
}
function over(event) {
  const under = document.elementFromPoint(event.clientX, event.clientY);
  const onto = under && under.closest("[data-onto]");
  for (const one of document.querySelectorAll(".under-hand"))
    if (one !== onto) one.classList.remove("under-hand");
  if (onto) onto.classList.add("under-hand");
  return onto;
}
function letDown() {
  const done = carry;
  carry = null;
  if (done && done.ghost) done.ghost.remove();
  if (done) done.from.classList.remove("in-hand");
  if (done && done.bath) drawBath(seen.scene.bath);
  for (const one of document.querySelectorAll(".under-hand")) one.classList.remove("under-hand");
  return done;
}
addEventListener("pointerup", (event) => {
  const onto = carry && carry.moved ? over(event) : null,
    done = letDown();
  if (!done) return;
  carriedOff = done.moved;
  if (!done.moved) {
    if (done.thing === "held ball") wish({ click: done.thing });
    return;
  }
  if (["eye", "lens"].includes(done.thing)) return;
  if (done.thing.startsWith("dial")) {
    wish({ turn_k: done.turned_k });
    return;
  }
  const carried_s = (event.timeStamp - done.began) / 1000;
  wish({ carry: done.thing, onto: onto ? onto.dataset.onto : "", carried_s });
});
addEventListener("pointercancel", letDown);
