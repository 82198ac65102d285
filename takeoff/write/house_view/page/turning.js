// Turning the house: a point looked at, a distance, a bearing and a height of the eye. The house stays upright.
"use strict";
const TURN_MS = 350;

function Turning(stage, changed) {
  // `centre` and `fit` (the distance from which all is seen) are given by whoever draws
  const self = { target: [0, 0, 0], distance: 30, around: -1.0, over: 0.5, radius: 10 };
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  const clamp = (value, least, most) => Math.min(most, Math.max(least, value));

  // Goes over to another look in a third of a second, or at once where less motion is asked for; any other turn ends it.
  let way = 0;
  self.goTo = function (around, over, target, distance) {
    const from = { around: self.around, over: self.over, target: self.target, distance: self.distance };
    const turn = Math.atan2(Math.sin(around - from.around), Math.cos(around - from.around));
    const begun = performance.now();
    const mine = (way += 1);
    const step = () => {
      if (mine !== way) return;
      const done = calm.matches ? 1 : Math.min(1, (performance.now() - begun) / TURN_MS);
      const part = done * done * (3 - 2 * done);
      self.around = from.around + turn * part;
      self.over = from.over + (over - from.over) * part;
      self.target = from.target.map((value, k) => value + (target[k] - value) * part);
      self.distance = from.distance + (distance - from.distance) * part;
      changed();
      if (done < 1) requestAnimationFrame(step);
    };
    step();
  };
  self.whole = function () {
    way += 1;
    self.target = [...self.centre];
    self.distance = self.fit();
    changed();
  };
  self.turn = function (around, over) {
    way += 1;
    self.around += around;
    self.over = clamp(self.over + over, -1.5, 1.55);
    changed();
  };
  self.look = function (around, over) { self.around = around; self.over = over; self.whole(); };
  self.zoom = function (factor) {
    way += 1;
    self.distance = clamp(self.distance * factor, self.radius * 0.05, self.radius * 12);
    changed();
  };
  self.slide = function (right, up) { // in parts of the picture's height
    way += 1;
    const size = self.distance * 0.62;
    const [c, s] = [Math.cos(self.around), Math.sin(self.around)];
    const lift = Math.sin(self.over);
    self.target[0] += (s * right + c * lift * up) * size;
    self.target[1] += (-c * right + s * lift * up) * size;
    self.target[2] -= Math.cos(self.over) * up * size;
    changed();
  };
  self.eye = function () {
    const flat = Math.cos(self.over) * self.distance;
    return [
      self.target[0] + flat * Math.cos(self.around),
      self.target[1] + flat * Math.sin(self.around),
      self.target[2] + Math.sin(self.over) * self.distance,
    ];
  };

  // one finger or the mouse turns, two fingers slide and bring nearer; a touch without a move chooses
  const down = new Map();
  let moved = 0;
  let apart = 0;
  const middle = () => {
    const [a, b] = [...down.values()];
    return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, apart: Math.hypot(a.x - b.x, a.y - b.y) };
  };
  stage.addEventListener("pointerdown", (event) => {
    stage.focus({ preventScroll: true });
    stage.setPointerCapture(event.pointerId);
    down.set(event.pointerId, { x: event.clientX, y: event.clientY });
    moved = down.size > 1 ? 99 : 0;
    if (down.size === 2) apart = middle().apart;
  });
  stage.addEventListener("pointermove", (event) => {
    const last = down.get(event.pointerId);
    if (!last) return;
    const before = down.size === 2 ? middle() : null;
    const [dx, dy] = [event.clientX - last.x, event.clientY - last.y];
    down.set(event.pointerId, { x: event.clientX, y: event.clientY });
    moved += Math.abs(dx) + Math.abs(dy);
    if (moved < 4) return;
    const high = Math.max(1, stage.clientHeight);
    if (before) {
      const now = middle();
      self.slide(-(now.x - before.x) / high, -(now.y - before.y) / high);
      if (now.apart > 0 && apart > 0) self.zoom(apart / now.apart);
      apart = now.apart;
    } else if (event.shiftKey || (event.buttons & 2)) self.slide(-dx / high, -dy / high);
    else self.turn(-dx * 0.006, dy * 0.006);
  });
  const up = (event) => {
    const was = down.delete(event.pointerId);
    if (was && event.type === "pointerup" && moved < 4) self.touched(event.clientX, event.clientY);
  };
  stage.addEventListener("pointerup", up);
  stage.addEventListener("pointercancel", up);
  stage.addEventListener("contextmenu", (event) => event.preventDefault());
  stage.addEventListener("wheel", (event) => {
    event.preventDefault();
    self.zoom(Math.exp(clamp(event.deltaY, -200, 200) * 0.0015));
  }, { passive: false });
  stage.addEventListener("keydown", (event) => {
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (step && event.shiftKey) self.slide(step[0] * 0.08, -step[1] * 0.08);
    else if (step) self.turn(step[0] * 0.12, step[1] * 0.09);
    else if (event.key === "+" || event.key === "=") self.zoom(0.85);
    else if (event.key === "-") self.zoom(1 / 0.85);
    else if (event.key === "Home") self.whole();
    else if (event.key === "n" || event.key === "N") self.step(1);
    else if (event.key === "p" || event.key === "P") self.step(-1);
    else if (event.key === "Escape") Chosen.set([], null);
    else return;
    event.preventDefault();
  });
  return self;
}
