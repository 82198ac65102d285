// What is touched, told in words; and the order, a button a line that shows where it goes.
"use strict";
const MOST_BUTTONS = 80;

function partTitle(part) { return `${part.m}, ${HOUSE.words[part.k] || part.k}`; }

function showCard() {
  const card = byId("card");
  card.replaceChildren();
  const { parts, line } = Chosen;
  if (!parts.length && !line) {
    card.append(make("h2", {}, "Nothing is touched"), make("p", {}, "Touch a sheet, edge, gutter, wall or board of the house, or a line of the order."));
    return;
  }
  if (line) lineCard(card, line, parts);
  else if (parts.length > 1) severalCard(card, parts);
  else partCard(card, parts[0]);
}

function partCard(card, place) {
  const part = HOUSE.parts[place];
  card.append(make("h2", {}, partTitle(part)), make("ul", {}, ...part.f.map((fact) => make("li", {}, fact))));
  const whole = HOUSE.names[part.o];
  if (whole && part.o !== part.m) card.append(make("p", {}, "Part of ", make("span", { class: "marks inline" }, markButton(whole[0]))));
  const lines = LINES_OF.get(place) || [];
  if (lines.length) {
    card.append(make("h3", {}, lines.length > 1 ? "On order lines" : "On order line"));
    for (const line of lines) card.append(lineButton(line));
  } else if (HOUSE.head.ordered) card.append(make("p", {}, "On no order line of its own."));
  if (part.w !== undefined) card.append(workingBox(HOUSE.workings[part.w]));
}

function workingBox([rule, terms]) {
  const list = make("dl", {});
  for (const [name, value, basis] of terms) {
    list.append(make("dt", {}, `${name} ${value}`), make("dd", {}, basis < 0 ? "measured on the shape" : HOUSE.bases[basis]));
  }
  return make("details", {}, make("summary", {}, "Working"), make("p", {}, rule), list);
}

function lineButton(line) {
  const words = [line.i, line.t, line.c, line.s].filter(Boolean).join(", ");
  return make("p", {}, make("button", { type: "button", onclick: () => Chosen.set(PARTS_OF.get(line.i), line) }, words));
}

function markButton(place) {
  return make("button", { type: "button", onclick: () => Chosen.set([place], null) }, HOUSE.parts[place].m);
}

function markButtons(places) {
  const box = make("div", { class: "marks" });
  for (const place of places.slice(0, MOST_BUTTONS)) {
    box.append(markButton(place));
  }
  if (places.length > MOST_BUTTONS) box.append(`and ${places.length - MOST_BUTTONS} more`);
  return box;
}

function severalCard(card, places) {
  card.append(make("h2", {}, `${places.length} parts`), markButtons(places));
}

function lineCard(card, line, places) {
  card.append(make("h2", {}, `${line.i}, ${line.t}`));
  const facts = [[line.c, line.s].filter(Boolean).join(" = "), line.kg, `delivered with ${line.d}`, line.n, line.w].filter(Boolean);
  card.append(make("ul", {}, ...facts.map((fact) => make("li", {}, fact))));
  if (places.length) card.append(make("h3", {}, `Goes to ${places.length} ${places.length > 1 ? "places" : "place"}`), markButtons(places));
  else card.append(make("p", {}, "For the whole house, no place of its own."));
}

function showOrder() {
  const box = byId("order");
  if (!HOUSE.lines.length) {
    box.append(make("h2", {}, "Order"), make("p", {}, HOUSE.head.ordered ? "Nothing is ordered." : "The order is withheld: see what is open."));
    return;
  }
  const rows = new Map();
  for (const delivery of new Set(HOUSE.lines.map((line) => line.d))) {
    const lines = HOUSE.lines.filter((line) => line.d === delivery);
    const table = make("table", {}, make("thead", {}, make("tr", {}, make("th", {}, "line"), make("th", {}, "item"), make("th", { class: "figure" }, "count"))));
    const body = make("tbody", {});
    for (const line of lines) {
      const button = make("button", { type: "button", "aria-label": `${line.i}, show where it goes`, onclick: () => Chosen.set(PARTS_OF.get(line.i), line) }, line.i);
      const row = make("tr", {}, make("td", {}, button), make("td", { class: "item" }, line.t), make("td", { class: "figure" }, line.c));
      rows.set(line.i, row);
      body.append(row);
    }
    table.append(body);
    box.append(make("h2", {}, `${delivery[0].toUpperCase()}${delivery.slice(1)}: ${lines.length} lines`), table);
  }
  Chosen.listeners.push(() => {
    for (const [id, row] of rows) row.classList.toggle("chosen", Chosen.line !== null && Chosen.line.i === id);
  });
}

function showOpen() {
  if (!HOUSE.open.length) return;
  const list = make("ul", {}, ...HOUSE.open.map((text) => make("li", {}, text)));
  byId("open").append(make("details", { open: !HOUSE.head.ordered }, make("summary", {}, `Still open: ${HOUSE.open.length}`), list));
}
