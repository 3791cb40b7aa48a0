/* ---- the bench ---- */
const MM = 1000;
function drawScene(scene) {
  drawFalling(scene);
  drawThermometer(scene.thermometer);
  for (const button of by("things").children) refreshThing(button, scene);
  by("puddle").hidden = !scene.floor_wet;
}
function drawFalling(scene) {
  by("wall").toggleAttribute("data-falling", scene.in_the_air);
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
  by("thermometer").setAttribute("viewBox", "-14 0 508 100");
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
  const words = made("small", { id: `shows ${thing.name}`.replaceAll(" ", "-") }, thing.name);
  const button = made("button", { type: "button", class: "thing", "data-thing": thing.name, "data-onto": ["beaker", "towel"].includes(thing.name) ? thing.name : /^dial/.test(thing.name) ? "bath" : null, "aria-label": thing.words, "aria-describedby": words.id }, picture, words);
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
