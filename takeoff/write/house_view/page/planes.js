// Plane by plane, for a phone on the roof: the drawing, a tick for each sheet laid, a box for each size taped.
"use strict";
const SVG = "http://www.w3.org/2000/svg";

function draw2d(name, attributes, ...children) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.append(...children);
  return element;
}

function pointsOf(flat) {
  const points = [];
  for (let i = 0; i < flat.length; i += 2) points.push(`${flat[i]},${-flat[i + 1]}`);
  return points.join(" ");
}

function extent(rings) {
  const us = rings.flatMap((ring) => ring.filter((_, i) => i % 2 === 0));
  const vs = rings.flatMap((ring) => ring.filter((_, i) => i % 2 === 1));
  return [Math.min(...us), Math.min(...vs), Math.max(...us), Math.max(...vs)];
}

// The centre of area of a ring, so that a mark lies well inside a triangle too.
function middleOfRing(flat) {
  let [area, x, y] = [0, 0, 0];
  for (let i = 0; i < flat.length; i += 2) {
    const [p, q, r, s] = [flat[i], flat[i + 1], flat[(i + 2) % flat.length], flat[(i + 3) % flat.length]];
    const part = p * s - r * q;
    area += part;
    x += (p + r) * part;
    y += (q + s) * part;
  }
  return area ? [x / (3 * area), y / (3 * area)] : [flat[0], flat[1]];
}

// The marks of one plane that are laid.
function laidOf(plane) { return plane.s.filter(({ m }) => Kept.state.laid[m]).length; }

function planeDrawing(plane, toggle) {
  const [u0, v0, u1, v1] = extent([...plane.g, ...plane.s.flatMap((sheet) => sheet.g)]);
  const edge = Math.max(u1 - u0, v1 - v0) * 0.045;
  const picture = draw2d("svg", {
    viewBox: `${u0 - edge} ${-v1 - edge} ${u1 - u0 + 2 * edge} ${v1 - v0 + 2 * edge}`, role: "img",
    "aria-label": `Plane ${plane.m} seen from below its eave, ${plane.s.length} sheets`,
  });
  const step = edge / 3;
  picture.append(draw2d("defs", {}, draw2d("pattern", { id: "hatch", width: step, height: step, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
    draw2d("rect", { width: step, height: step, fill: "#ffffff" }), draw2d("rect", { width: step * 0.3, height: step, fill: "#b9b4a6" }))));
  for (const { m: mark, g: rings } of plane.s) {
    const group = draw2d("g", { class: "piece", "data-mark": mark });
    for (const ring of rings) group.append(draw2d("polygon", { points: pointsOf(ring) }));
    const [a, b, c, d] = extent(rings);
    const [x, y] = middleOfRing(rings[0]);
    const upright = d - b > c - a;
    const long = Math.max(c - a, d - b);
    const size = Math.min(Math.min(c - a, d - b) * 0.55, edge * 1.1);
    const text = mark.length * size * 0.6 < long * 0.8 ? mark : mark.split(".").pop();
    const word = draw2d("text", {
      x, y: -y, "font-size": size, "stroke-width": size * 0.15, "text-anchor": "middle", "dominant-baseline": "central",
    });
    if (upright) word.setAttribute("transform", `rotate(-90 ${x} ${-y})`);
    const show = () => {
      const laid = Boolean(Kept.state.laid[mark]);
      group.setAttribute("class", laid ? "piece laid" : "piece");
      word.textContent = laid ? "✓ " + text : text;
    };
    show();
    group.append(word);
    group.addEventListener("click", () => toggle(mark));
    group.addEventListener("laid", show);
    picture.append(group);
  }
  for (const ring of plane.g) picture.append(draw2d("polygon", { class: "plane", points: pointsOf(ring), "pointer-events": "none" }));
  for (const [name, ax, ay, bx, by] of plane.e) {
    const low = Math.abs(by - ay) < 1 && ay < (v0 + v1) / 2;
    picture.append(draw2d("text", {
      class: "edge", x: (ax + bx) / 2, y: -(ay + by) / 2 + (low ? 1 : -0.3) * edge * 0.8, "font-size": edge * 0.8, "stroke-width": edge * 0.1, "text-anchor": "middle",
    }, name));
  }
  return picture;
}

function lengthTyped(text) {
  const words = text.trim();
  if (!words) return null;
  const value = /^\d{1,6}(\.\d+)?$/.test(words) ? Number(words) : NaN;
  return value > 0 ? value : NaN;
}

function tapeRow(plane, [item, drawn, where, before]) {
  const key = `${plane.m} ${item}`;
  const told = make("td", {});
  const box = make("input", { type: "text", class: "tape", inputmode: "decimal", autocomplete: "off", "aria-label": `${item} of ${plane.m} as taped, mm`, "data-size": key });
  box.value = Kept.state.taped[key] !== undefined ? Kept.state.taped[key] : before;
  const show = () => {
    const value = lengthTyped(box.value);
    const bad = Number.isNaN(value);
    box.setAttribute("aria-invalid", String(bad));
    told.className = bad ? "wrong" : "";
    const off = value === null || bad ? 0 : Math.round(value - Number(drawn));
    told.textContent = bad ? "not a length in mm" : value === null ? "" : off === 0 ? "as drawn" : `${Math.abs(off)} ${off > 0 ? "longer" : "shorter"}`;
  };
  box.addEventListener("input", () => {
    Kept.state.taped[key] = box.value;
    Kept.save();
    show();
  });
  show();
  return make("tr", {}, make("td", {}, item, make("br", {}), make("small", {}, where)), make("td", { class: "figure" }, drawn), make("td", {}, box), told);
}

// What the cutting list says of a sheet, a column each; on a phone a row is two lines, the words under the figures.
const SHEET_COLUMNS = [
  ["b", "bought", "figure"], ["l", "left", "figure"], ["r", "right", "figure"], ["p", "long point", "more"],
  ["f", "foot", "more"], ["t", "top", "more"], ["a", "rake", "more"], ["h", "longer", "more"],
];

function sheetRows(piece, box) {
  const cells = SHEET_COLUMNS.map(([key, word, kind]) => make("td", { class: kind, "data-word": word }, piece[key] || ""));
  const row = make("tr", {}, make("td", {}, box), make("td", { class: "mark" }, piece.m), ...cells);
  const said = [piece.w, piece.c ? `cut to points: ${piece.c}` : ""].filter(Boolean).join("; ");
  if (!said) return [row];
  row.className = "goes-on";
  return [row, make("tr", { class: "said" }, make("td", {}), make("td", { colspan: SHEET_COLUMNS.length + 1 }, `${piece.m}: ${said}`))];
}

function showPlane(plane) {
  const sheet = byId("plane-sheet");
  const boxes = new Map();
  const count = make("p", { id: "laid-count", role: "status" });
  const tell = () => { count.textContent = `${laidOf(plane)} of ${plane.s.length} sheets laid`; };
  const toggle = (mark) => {
    Kept.state.laid[mark] = !Kept.state.laid[mark];
    Kept.save();
    boxes.get(mark).checked = Kept.state.laid[mark];
    for (const group of sheet.querySelectorAll(".piece")) if (group.dataset.mark === mark) group.dispatchEvent(new Event("laid"));
    tell();
  };
  const rows = plane.s.flatMap((piece) => {
    const box = make("input", { type: "checkbox", "aria-label": `${piece.m} is laid`, onchange: () => toggle(piece.m) });
    box.checked = Boolean(Kept.state.laid[piece.m]);
    boxes.set(piece.m, box);
    return sheetRows(piece, box);
  });
  const drawing = planeDrawing(plane, toggle);
  drawing.style.width = `max(100%, ${Math.min(120, plane.s.length) * 1.9}rem)`; // a sheet stays wide enough for a finger
  const head = (...words) => make("thead", {}, make("tr", {}, ...words.map(([word, kind]) => make("th", { class: kind }, word))));
  sheet.replaceChildren(
    make("h2", {}, `${plane.m}: ${plane.t}`),
    make("p", {}, `Start: ${plane.b}. Lay from the ${plane.a}.`),
    make("div", { class: "scroll", tabindex: "0", role: "group", "aria-label": "Drawing, slides sideways" }, drawing), count,
    make("table", { class: "sheets" }, head(["laid"], ["sheet"], ...SHEET_COLUMNS.map(([, word, kind]) => [word, kind])), make("tbody", {}, ...rows)),
    plane.s.some((piece) => piece.c) ? make("p", {}, HOUSE.points) : "",
    make("p", {}, "mm. Left and right as seen from below the eave. Long point: its height over the foot."),
    make("div", { id: "taped" }, make("h2", {}, "Taped on the frame"),
      make("table", {}, head(["size"], ["drawn mm", "figure"], ["taped mm"], ["difference"]), make("tbody", {}, ...plane.x.map((row) => tapeRow(plane, row))))),
  );
  tell();
}

const quoted = (field) => (/[",\r\n]/.test(field) ? `"${field.replaceAll('"', '""')}"` : field);
const csv = (rows) => "\ufeff" + rows.map((row) => row.map((field) => quoted(String(field))).join(",") + "\r\n").join("");

function saveFile(name, text) {
  const link = make("a", { href: URL.createObjectURL(new Blob([text], { type: "text/csv" })), download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 1000);
}

// The form as the program writes it, with what is taped here under mm.
function tapedRows() {
  const rows = [HOUSE.form];
  for (const plane of HOUSE.planes) {
    for (const [item, drawn, where, before] of plane.x) {
      const typed = Kept.state.taped[`${plane.m} ${item}`];
      const value = lengthTyped(typed !== undefined ? typed : before);
      rows.push([plane.m, item, value === null || Number.isNaN(value) ? "" : String(value), drawn, where]);
    }
  }
  return rows;
}

function laidRows() {
  const rows = [["plane", "sheet", "laid"]];
  for (const plane of HOUSE.planes) for (const { m: mark } of plane.s) rows.push([plane.m, mark, Kept.state.laid[mark] ? "yes" : ""]);
  return rows;
}

// Reads back a file that was saved here: taped sizes or laid sheets. Returns what was found, in words.
function openSaved(text) {
  const rows = text.replace(/^\ufeff/, "").split(/\r?\n/).map((row) => row.split(","));
  const head = rows.shift().join(",");
  if (head === "plane,sheet,laid") {
    const known = new Set(HOUSE.planes.flatMap((plane) => plane.s.map((sheet) => sheet.m)));
    const mine = rows.filter((row) => known.has(row[1]));
    for (const row of mine) Kept.state.laid[row[1]] = row[2] === "yes";
    return `${mine.filter((row) => row[2] === "yes").length} sheets laid are read`;
  }
  if (head.startsWith("plane,item,mm")) {
    const known = new Set(HOUSE.planes.flatMap((plane) => plane.x.map((row) => `${plane.m} ${row[0]}`)));
    const mine = rows.filter((row) => known.has(`${row[0]} ${row[1]}`) && row[2]);
    for (const row of mine) Kept.state.taped[`${row[0]} ${row[1]}`] = row[2];
    return `${mine.length} taped sizes are read`;
  }
  return "This is no file that was saved here: nothing is read";
}

function planesView() {
  const choice = byId("plane");
  for (const [place, plane] of HOUSE.planes.entries()) choice.append(make("option", { value: place }, `${plane.m}: ${plane.t}`));
  if (!HOUSE.planes.length) {
    byId("plane-sheet").append(make("p", {}, "No plane carries sheets."));
    return;
  }
  const show = () => showPlane(HOUSE.planes[Number(choice.value)]);
  const step = (by) => { choice.value = String((Number(choice.value) + by + HOUSE.planes.length) % HOUSE.planes.length); show(); };
  choice.addEventListener("change", show);
  byId("plane-before").addEventListener("click", () => step(-1));
  byId("plane-next").addEventListener("click", () => step(1));
  byId("save-taped").addEventListener("click", () => {
    const rows = tapedRows();
    const filled = rows.slice(1).filter((row) => row[2]).length;
    const bad = Object.values(Kept.state.taped).filter((text) => Number.isNaN(lengthTyped(text))).length;
    byId("saved").textContent = `${filled} taped sizes are in site_measure.csv${bad ? `; ${bad} that are no length are left out` : ""}`;
    saveFile("site_measure.csv", csv(rows));
  });
  byId("save-laid").addEventListener("click", () => saveFile("laid_sheets.csv", csv(laidRows())));
  byId("open-saved").addEventListener("change", async (event) => {
    const file = event.target.files[0];
    if (!file) return;
    byId("saved").textContent = openSaved(await file.text());
    Kept.save();
    show();
  });
  show();
}
