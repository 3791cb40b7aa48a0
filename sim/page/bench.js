/* ---- beside the rule: the corner with ball and eye, the lens, the thermometer's call-out ---- */
const MM = 1000;
const FLOOR = 1260,
  EDGE = 130,
  WIDE = 78; /* of the corner, in millimetres: floor, and the rule's divided edge */
const onWall = (metres) => FLOOR - metres * MM;
function drawScene(scene) {
  const { ball, lens, thermometer, ...rest } = scene;
  drawFalling(scene);
  if (isNews("thermometer", thermometer)) drawThermometer(thermometer);
  if (isNews("things", [rest, thermometer.in])) drawThings(scene);
}
function drawFalling(scene) {
  by("wall").toggleAttribute("data-falling", scene.in_the_air);
  if (isNews("wall", [scene.ball, scene.lens, scene.eye_m, scene.camera_m])) drawWall(scene);
  if (isNews("lens", scene.lens)) drawLens(scene.lens);
}

/* A number stands at the middle of its mark, at either end of the rule within it. */
const numberAt = (y, size, top, foot) => Math.min(Math.max(y + size / 3, top + 0.9 * size), foot - 2);
/* Marks of a scale with its numbers; `length` and `number` say what stands at a whole division. */
function marksOf(first, last, length, place, number) {
  const marks = [];
  for (let at = first; at <= last; at += 1) {
    marks.push(place(at, length(at)));
    const text = number(at);
    if (text) marks.push(text);
  }
  return marks;
}
let wallParts = null;
function wallOnce(scene) {
  const y = onWall,
    rule = { x: EDGE, y: y(scene.rule_m), width: WIDE, height: scene.rule_m * MM };
  by("wall").setAttribute("viewBox", `0 0 420 ${FLOOR + 50}`);
  const marks = marksOf(
    0,
    scene.rule_m * 100,
    (cm) => (cm % 10 === 0 ? 34 : cm % 5 === 0 ? 26 : 16),
    (cm, long) =>
      drawn("line", {
        x1: EDGE,
        x2: EDGE + long,
        y1: y(cm / 100),
        y2: y(cm / 100),
        class: cm % 5 ? "mark fine" : "mark",
      }),
    (cm) =>
      cm % 10 === 0 &&
      drawn(
        "text",
        {
          x: EDGE + WIDE - 4,
          y: numberAt(y(cm / 100), 28, y(scene.rule_m), FLOOR),
          "font-size": 28,
          "text-anchor": "end",
          class: "number",
        },
        String(cm),
      ),
  );
  const clamp = (metres) =>
    drawn("rect", { x: EDGE + WIDE - 4, y: y(metres) - 9, width: 26, height: 18, rx: 4, class: "iron" });
  const flag = drawn("path", {
    d: "M0 0L40 -16V16Z",
    class: "flag",
    transform: `translate(${EDGE + WIDE} ${y(scene.flag_m)})`,
  });
  const shadow = drawn("ellipse", { cx: EDGE, cy: FLOOR + 8, rx: 26, ry: 6, class: "shade" });
  const ball = drawn(
    "g",
    { "data-thing": "held ball", class: "movable" },
    drawn("path", { d: "M-58 -150L-34 -60L-17 -12M-92 -132L-42 -66L-18 12", class: "tong-edge" }),
    drawn("path", { d: "M-58 -150L-34 -60L-17 -12M-92 -132L-42 -66L-18 12", class: "tong" }),
    drawn("circle", { r: (scene.diameter_m * MM) / 2, class: "ball" }),
    drawn("circle", { r: 4, cx: -6, cy: -8, class: "dot" }),
    drawn("path", { d: "M12 24Q20 36 12 40Q4 36 12 24", class: "drip" }),
    drawn("circle", { r: 50, class: "grip" }),
  );
  const eye = drawn(
    "g",
    { "data-thing": "eye", class: "movable" },
    drawn("line", { x1: EDGE + WIDE, x2: 316, y1: 0, y2: 0, class: "level" }),
    drawn("path", { d: "M312 0Q360 -46 408 0Q360 42 312 0Z", class: "lid" }),
    drawn("circle", { cx: 360, cy: -1, r: 19, class: "iris" }),
    drawn("circle", { cx: 360, cy: -1, r: 9, class: "rubber" }),
    drawn("rect", { x: 290, y: -45, width: 130, height: 90, class: "grip" }),
  );
  const camera = drawn(
    "g",
    {},
    drawn("rect", { x: 276, y: 14, width: 8, height: FLOOR, class: "iron" }),
    drawn("rect", { x: 252, y: -22, width: 66, height: 44, rx: 6, class: "camera" }),
    drawn("rect", { x: 232, y: -12, width: 24, height: 24, class: "camera" }),
    drawn("ellipse", { cx: 232, cy: 0, rx: 5, ry: 14, class: "lens-glass" }),
  );
  const strip = drawn("path", { class: "strip" });
  by("wall").replaceChildren(
    drawn("rect", { x: -900, y: FLOOR, width: 2400, height: 400, class: "floor" }),
    drawn("rect", { x: -900, y: FLOOR - 26, width: 2400, height: 26, class: "skirting" }),
    drawn("rect", {
      x: EDGE + WIDE + 8,
      y: y(scene.rule_m) - 60,
      width: 10,
      height: scene.rule_m * MM + 60,
      class: "rod",
    }),
    clamp(0.925),
    clamp(0.075),
    drawn("rect", { x: EDGE - 20, y: FLOOR - 6, width: 150, height: 16, rx: 6, class: "iron" }),
    drawn("rect", { ...rule, class: "rule" }),
    ...marks,
    flag,
    strip,
    shadow,
    camera,
    ball,
    eye,
  );
  wallParts = { ball, eye, camera, strip, shadow };
}
function shownIf(part, there) {
  part.classList.toggle("away", !there);
}
function drawWall(scene) {
  if (!wallParts) wallOnce(scene);
  const { ball, eye, camera, strip, shadow } = wallParts,
    there = scene.ball;
  shownIf(ball, there);
  shownIf(shadow, there);
  if (there) {
    ball.setAttribute(
      "transform",
      `translate(${EDGE} ${onWall(there.lowest_m + seen.scene.diameter_m / 2)})`,
    );
    ball.classList.toggle("held", there.held);
    ball.classList.toggle("wet", there.wet);
  }
  /* An eye above the picture waits at its edge. */
  set(eye, "transform", `translate(0 ${Math.max(onWall(seen.scene.eye_m), 50)})`);
  const stand = seen.scene.camera_m,
    lens = scene.lens;
  shownIf(camera, stand !== null);
  if (stand !== null) set(camera, "transform", `translate(0 ${onWall(stand)})`);
  const [top, low] = [lens.centre_m + lens.strip_m / 2, lens.centre_m - lens.strip_m / 2].map(onWall);
  set(strip, "d", `M${EDGE + WIDE + 2} ${top}h14V${low}h-14`);
}

/* The lens: millimetres of the rule, and the ball before its divided edge, where the eye sees it. */
const LENS = { wide: 200, high: 360, edge: 84 };
function drawLens(lens) {
  const scale = LENS.high / lens.strip_m,
    svg = by("lens");
  const y = (metres) => LENS.high / 2 - (metres - lens.centre_m) * scale;
  if (!svg.firstChild) {
    svg.setAttribute("viewBox", `0 0 ${LENS.wide} ${LENS.high}`);
    svg.append(drawn("g"), drawn("g"));
  }
  if (isNews("lens rule", lens.centre_m)) svg.firstChild.replaceChildren(...ruleInLens(lens, y));
  const layer = [],
    ball = lens.ball;
  if (ball) {
    const top = y(ball.top_m),
      low = y(ball.lowest_m),
      radius = (low - top) / 2,
      middle = (top + low) / 2;
    const jaws = `M${LENS.edge - 1.7 * radius} ${middle - 3 * radius}L${LENS.edge - 0.9 * radius} ${middle - 0.5 * radius}`;
    if (ball.held)
      layer.push(
        drawn("path", { d: jaws, class: "tong-edge jaw" }),
        drawn("path", { d: jaws, class: "tong jaw" }),
      );
    layer.push(
      drawn("circle", { cx: LENS.edge, cy: middle, r: radius, class: ball.wet ? "ball wet" : "ball" }),
    );
    layer.push(
      drawn("circle", {
        cx: LENS.edge - 0.35 * radius,
        cy: middle - 0.4 * radius,
        r: radius / 10,
        class: "dot",
      }),
    );
  }
  const level = y(lens.eye_m);
  layer.push(drawn("line", { x1: -900, x2: LENS.edge, y1: level, y2: level, class: "level" }));
  svg.lastChild.replaceChildren(...layer);
  written(by("lens-heading"), lens.heading);
}
function ruleInLens(lens, y) {
  const end = seen.scene.rule_m,
    half = lens.strip_m / 2,
    centre = lens.centre_m;
  const first = Math.max(Math.ceil((centre - half) * MM), 0),
    last = Math.min((centre + half) * MM, end * MM);
  return [
    drawn("rect", { x: LENS.edge, y: y(end), width: 900, height: Math.max(y(0) - y(end), 0), class: "rule" }),
    drawn("rect", { x: -900, y: y(0), width: 2400, height: LENS.high, class: "floor" }),
    ...marksOf(
      first,
      last,
      (mm) => (mm % 10 === 0 ? 46 : mm % 5 === 0 ? 34 : 24),
      (mm, long) =>
        drawn("line", {
          x1: LENS.edge,
          x2: LENS.edge + long,
          y1: y(mm / MM),
          y2: y(mm / MM),
          class: mm % 10 ? "mark fine" : "mark",
        }),
      (mm) =>
        mm % 10 === 0 &&
        drawn(
          "text",
          {
            x: LENS.wide - 6,
            y: numberAt(y(mm / MM), 24, y(end), y(0)),
            "font-size": 24,
            "text-anchor": "end",
            class: "number",
          },
          String(mm / 10),
        ),
    ),
  ];
}

/* The thermometer's call-out: the thread's end stands still in its middle, and the scale goes by. */
const STEM = { wide: 120, high: 360, bore: 34 };
function drawThermometer(thermometer) {
  const svg = by("thermometer"),
    [lowest, highest] = thermometer.ends;
  const y = (degrees) => (-degrees * STEM.high) / thermometer.span;
  if (!svg.firstChild) {
    svg.setAttribute("viewBox", `0 0 ${STEM.wide} ${STEM.high}`);
    svg.append(drawn("g", {}, ...stemOf(lowest, highest, y)));
  }
  const end = y(lowest + thermometer.thread * (highest - lowest));
  svg.firstChild.setAttribute("transform", `translate(0 ${STEM.high / 2 - end})`);
  svg.querySelector(".spirit").setAttribute("y", end);
  written(by("thermometer-in"), thermometer.in);
}
function stemOf(lowest, highest, y) {
  const { wide, high, bore } = STEM;
  const marks = marksOf(
    lowest,
    highest,
    (degree) => (degree % 5 === 0 ? 36 : 22),
    (degree, long) =>
      drawn("line", {
        x1: bore + 10,
        x2: bore + 10 + long,
        y1: y(degree),
        y2: y(degree),
        class: degree % 5 ? "mark fine" : "mark",
      }),
    (degree) =>
      degree % 5 === 0 &&
      drawn(
        "text",
        {
          x: wide - 4,
          y: y(degree) + 8,
          "font-size": 24,
          "text-anchor": "end",
          class: "number",
        },
        String(degree).replace("-", "−"),
      ),
  );
  const whole = { y: y(highest) - high, height: y(lowest) - y(highest) + 2 * high };
  return [
    drawn("rect", { x: bore - 24, width: 48, ...whole, class: "glass" }),
    drawn("rect", { x: bore - 5, width: 10, ...whole, class: "bore" }),
    drawn("rect", { x: bore - 5, width: 10, height: high, class: "spirit" }),
    ...marks,
  ];
}
