// What stands round the house: its head, its layers, looks from every side, and the box that finds a mark.
"use strict";
function showHead() {
  byId("job").textContent = HOUSE.head.job;
  byId("issue").textContent = `${HOUSE.head.revision}, ${HOUSE.head.date}`;
  byId("state").textContent = HOUSE.head.state;
}

function layerBoxes(house) {
  for (const name of house.layers) {
    const box = make("input", { type: "checkbox", id: "layer-" + name, onchange: () => house.show(name, box.checked) });
    box.checked = house.shown(name);
    byId("layers").append(make("label", {}, box, HOUSE.layers[name]));
  }
}

function lookButtons(house) {
  const looks = [["South-east", -0.95, 0.5], ["South-west", -2.2, 0.5], ["North-east", 0.7, 0.5], ["North-west", 2.3, 0.5], ["From above", -Math.PI / 2, 1.55]];
  for (const [name, around, over] of looks) {
    byId("looks").append(make("button", { type: "button", onclick: () => house.turning.look(around + HOUSE.head.north, over) }, name));
  }
  byId("looks").append(make("button", { type: "button", "aria-label": "Nearer", onclick: () => house.turning.zoom(0.8) }, "+"));
  byId("looks").append(make("button", { type: "button", "aria-label": "Farther", onclick: () => house.turning.zoom(1.25) }, "−"));
}

// The house in space, or words why it is not there: without it everything else works. `renderer`: of a house that was
// drawn before, if there was one.
function startHouse(renderer) {
  const stage = byId("stage");
  const without = (words) => {
    byId("keys").textContent = words;
    byId("keys").style.display = "block";
    byId("layers").hidden = true;
    stage.classList.add("flat");
    stage.setAttribute("role", "img");
    stage.setAttribute("aria-label", "The house from one side");
    return null;
  };
  if (typeof THREE === "undefined") return without("This view cannot be turned: the 3-D library was not there when the file was written. Marks, order and planes are whole.");
  try {
    const house = House3d(stage, renderer);
    byId("keys").textContent = "Drag or arrow keys: turn. Wheel, + and −: nearer, farther. Shift with either: slide. Touch: choose. N, P: next, previous part. Home: whole house. Escape: none.";
    return house;
  } catch (err) {
    return without("This browser draws nothing in 3-D. Marks, order and planes are whole.");
  }
}

function views() {
  const buttons = [...document.querySelectorAll("nav button[data-view]")];
  for (const button of buttons) {
    button.addEventListener("click", () => {
      for (const each of buttons) {
        each.setAttribute("aria-pressed", String(each === button));
        byId(each.dataset.view).hidden = each !== button;
      }
    });
  }
  byId("print").addEventListener("click", () => window.print());
}

// Chooses what is meant; where that is not sure, nothing is chosen and the nearest names are offered.
function findMark(typed) {
  const { sure, names } = typed.trim() ? namesMeant(typed) : { sure: false, names: [] };
  if (sure) { Chosen.mark(names[0]); return; }
  Chosen.set([], null);
  if (!typed.trim()) return;
  const take = (name) => { byId("mark").value = name; Chosen.mark(name); };
  const offered = names.map((name) => make("button", { type: "button", onclick: () => take(name) }, name));
  byId("card").replaceChildren(
    make("h2", { id: "not-found" }, "Not found"), make("p", {}, `Nothing here is called ${typed.trim()}.`),
    ...(names.length ? [make("p", {}, "Near it:"), make("div", { class: "marks" }, ...offered)] : [make("p", {}, "Marks stand on the house and in site.pdf, lines in the order below.")]),
  );
}
