// Puts the page together.
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

// The house in space, or words why it is not there: without it everything else works.
function startHouse() {
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
    const house = House3d(stage);
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

showHead();
views();
showOpen();
showOrder();
planesView();
Chosen.listeners.push(showCard);
Chosen.set([], null);
const VIEW = startHouse();
if (VIEW) { layerBoxes(VIEW); lookButtons(VIEW); }
for (const name of Object.keys(HOUSE.names)) byId("marks").append(make("option", { value: name }));
byId("find").addEventListener("submit", (event) => {
  event.preventDefault();
  const wanted = byId("mark").value;
  if (wanted.trim() && !Chosen.mark(wanted)) byId("card").replaceChildren(make("h2", {}, "Not found"), make("p", {}, `Nothing here is called ${wanted}.`));
});
