// Puts the page together.
"use strict";
takeHouse(JSON.parse(byId("data").textContent));
Kept.load();
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
  findMark(byId("mark").value);
});
byId("mark").addEventListener("input", () => { if (!byId("mark").value.trim() && byId("not-found")) showCard(); });
