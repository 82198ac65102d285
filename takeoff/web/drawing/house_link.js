// Ties the house in space to the page round it: houses and marks come in, what is touched here goes out. Only the page
// that this one stands in, of the same origin, is listened to.
"use strict";
const Linked = { view: null, lit: "", silent: false };

function tell(message) { window.parent.postMessage(message, window.location.origin); }

// What the eye and the layers are like, kept by the page round this one, as a page put aside forgets.
function looked() {
  if (!Linked.view) return null;
  const { around, over, distance, target } = Linked.view.turning;
  return { around, over, distance, target: [...target], layers: Object.fromEntries(Linked.view.layers.map((name) => [name, Linked.view.shown(name)])) };
}

function look({ around, over, distance, target, layers }) {
  Object.assign(Linked.view.turning, { around, over, distance, target: [...target] });
  for (const name of Linked.view.layers) if (name in layers) Linked.view.show(name, layers[name]);
  Linked.view.draw();
}

function freshStage() {
  const old = byId("stage");
  const stage = old.cloneNode(false);
  old.replaceWith(stage);
  return stage;
}

// Another house, or the same one after an edit: the eye stays where it is.
function openHouse(data, kept) {
  const before = looked() || kept;
  const renderer = Linked.view ? Linked.view.close() : Linked.renderer;
  const focused = document.activeElement === byId("stage");
  Chosen.listeners.length = 0;
  Chosen.parts = [];
  Chosen.line = null;
  const stage = freshStage();
  Linked.view = null;
  Linked.renderer = renderer;
  byId("looks").replaceChildren();
  byId("layers").replaceChildren(byId("layers").firstElementChild);
  if (!data || !data.parts.length) {
    stage.append(make("p", { id: "nothing" }, "Nothing is drawn yet. Draw an outline in the plan, and the roof stands here."));
    return;
  }
  takeHouse(data);
  Linked.view = startHouse(renderer);
  if (!Linked.view) return;
  layerBoxes(Linked.view);
  lookButtons(Linked.view);
  if (before) look(before);
  else Linked.view.turning.whole();
  if (focused) stage.focus({ preventScroll: true });
  Chosen.listeners.push(touchedHere);
  light(Linked.lit);
}

function touchedHere() {
  if (Linked.silent) return;
  const place = Chosen.parts[0];
  Linked.lit = place === undefined ? [] : [HOUSE.parts[place].m];
  tell({ touched: place === undefined ? "" : HOUSE.parts[place].m });
}

// Lights what is touched elsewhere: names of parts, or an order line.
function light(names) {
  Linked.lit = names || [];
  if (!Linked.view) return;
  const line = HOUSE.lines.find((each) => each.i === Linked.lit[0]);
  const places = line ? PARTS_OF.get(line.i) : [...new Set(Linked.lit.flatMap((name) => HOUSE.names[name] || []))];
  if (String(places) === String(Chosen.parts)) return;
  Linked.silent = true;
  Chosen.set(places, line || null);
  Linked.silent = false;
}

window.addEventListener("message", (event) => {
  if (event.source !== window.parent || event.origin !== window.location.origin) return;
  const said = event.data || {};
  if ("house" in said) openHouse(said.house, said.kept);
  if ("lit" in said) light(said.lit);
});
// the page may be put aside at any time: what the eye was like is told whenever it may have changed
for (const kind of ["pointerup", "keyup", "wheel", "change", "click"]) {
  window.addEventListener(kind, () => setTimeout(() => { const kept = looked(); if (kept) tell({ kept }); }, 450), { passive: true });
}
tell({ ready: true });
