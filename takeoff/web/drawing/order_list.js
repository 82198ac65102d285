// The order as tables, by delivery; its sheets plane by plane; its drawings. All of it comes in one piece from the page's
// server when it is looked at, and every text goes in as a text.
function make(name, attributes, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes || {})) {
    if (key.startsWith("on")) element.addEventListener(key.slice(2), value);
    else if (value === true) element.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(key, value);
  }
  element.append(...children.filter((child) => child !== null && child !== undefined && child !== ""));
  return element;
}

const SHEET_COLUMNS = [["m", "sheet"], ["b", "bought mm", 1], ["l", "left", 1], ["r", "right", 1], ["p", "long point"],
  ["f", "foot"], ["t", "top"], ["a", "rake", 1], ["h", "longer"]];
const VIEWS = [["lines", "Lines"], ["sheets", "Sheets"], ["drawings", "Drawings"]];

export default {
  template: `<div class="order-list" ref="room"></div>`,
  props: { root: String, number: Number, lit: Array, older: Boolean, stopped: Array },
  data() { return { view: "lines" }; },
  mounted() {
    this.fetched = -1;
    this.drawing = "";
    this.rows = new Map();
    this.watcher = new IntersectionObserver((seen) => {
      const before = this.seen;
      this.seen = seen[seen.length - 1].isIntersecting;
      this.fetchNewest();
      if (this.seen && !before && this.unseen) this.light(true);
    });
    this.watcher.observe(this.$refs.room);
    this.$refs.room.style.minHeight = "2rem";
  },
  unmounted() { this.watcher.disconnect(); },
  watch: {
    number() { this.fetchNewest(); },
    older() { this.cover(); },
    stopped() { this.cover(); },
    lit() { this.light(true); },
  },
  methods: {
    async fetchNewest() {
      if (!this.seen || this.fetched === this.number) return;
      const number = this.number;
      this.fetched = number;
      const answer = await fetch(`${this.root}/order.json?n=${number}`);
      if (!answer.ok || number !== this.number) { this.fetched = -1; return; }
      this.order = await answer.json();
      this.draw();
    },
    draw() {
      const { order } = this;
      this.rows = new Map();
      this.$refs.room.replaceChildren();
      this.stamp = make("p", { class: "cover", role: "status" });
      this.$refs.room.append(this.stamp);
      this.cover();
      if (!order || !order.ordered) return;
      const choice = make("div", { class: "views", role: "group", "aria-label": "How the order is shown" });
      for (const [name, word] of VIEWS) {
        choice.append(make("button", { type: "button", "aria-pressed": String(this.view === name), onclick: () => { this.view = name; this.draw(); } }, word));
      }
      const words = [order.changed, order.book].filter(Boolean).map((text) => make("p", { class: "since" }, text));
      this.$refs.room.append(choice, ...words);
      const body = make("div", { class: "order-body" });
      this.$refs.room.append(body);
      if (this.view === "lines") this.drawLines(body);
      else if (this.view === "sheets") this.drawSheets(body);
      else this.drawDrawings(body);
      this.light(this.unseen);
    },
    cover() {
      if (!this.stamp) return;
      const { order } = this;
      const stops = (this.stopped || []).length ? this.stopped : order ? order.stops : [];
      const bad = stops.length > 0 || (order && !order.ordered);
      this.stamp.replaceChildren();
      this.$refs.room.classList.toggle("covered", Boolean(bad));
      if (bad) this.stamp.append(make("strong", {}, "NOT AN ORDER"), make("ul", {}, ...stops.map((text) => make("li", {}, text))));
      else if (!order) this.stamp.append("There is no order yet.");
      else if (this.older) this.stamp.append("Being worked out anew: what stands here is of the edit before.");
      else this.stamp.append(order.state);
    },
    table(heads, right) {
      const row = make("tr", {}, ...heads.map((head, at) => make("th", { scope: "col", class: right.includes(at) ? "figure" : null }, head)));
      const body = make("tbody", {});
      return [make("table", {}, make("thead", {}, row), body), body];
    },
    // The one button of a row: arrows go from row to row, so that Tab leaves the table at once.
    rowButton(mark, row) {
      const first = this.rows.size === 0;
      const button = make("button", { type: "button", tabindex: first ? "0" : "-1", "aria-label": `${mark}, show where it is`, onclick: () => this.touch(mark) }, mark);
      button.addEventListener("keydown", (event) => this.step(event, mark));
      if (!this.rows.has(mark)) this.rows.set(mark, { row, button });
      return button;
    },
    step(event, mark) {
      const all = [...this.rows.values()];
      const at = all.findIndex((each) => each.button === this.rows.get(mark).button);
      const to = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: all.length - 1, PageDown: at + 15, PageUp: at - 15 }[event.key];
      if (to === undefined) return;
      event.preventDefault();
      const next = all[Math.max(0, Math.min(all.length - 1, to))];
      for (const each of all) each.button.tabIndex = each === next ? 0 : -1;
      next.button.focus();
    },
    touch(mark) { this.$emit("touched", { mark }); },
    drawLines(body) {
      const { order } = this;
      const used = order.columns.map((_, at) => order.deliveries.some(({ rows }) => rows.some(({ c }) => c.length > 1 && c[at])));
      const kept = order.columns.map((_, at) => at).filter((at) => used[at]);
      const right = kept.map((at, place) => (order.right.includes(at) ? place : -1)).filter((place) => place >= 0);
      for (const delivery of order.deliveries) {
        const name = delivery.name[0].toUpperCase() + delivery.name.slice(1);
        const [table, rows] = this.table(kept.map((at) => order.columns[at]), right);
        table.setAttribute("aria-label", name);
        for (const each of delivery.rows) rows.append(this.lineRow(each, kept, right));
        const gone = [[delivery.gone, "gone with the last edit"], [delivery.back, "issued, no longer wanted"]];
        for (const [texts, word] of gone) for (const text of texts) rows.append(make("tr", { class: "gone" }, make("td", { colspan: kept.length }, `${word}: ${text}`)));
        body.append(make("section", {}, make("h2", {}, name), make("p", { class: "facts" }, delivery.facts), make("div", { class: "wide-table" }, table)));
      }
      if (order.sums.length) body.append(make("h2", {}, "Bought against net"), make("ul", { class: "sums" }, ...order.sums.map((text) => make("li", {}, text))));
    },
    lineRow({ k, i, c }, kept, right) {
      if (k === "words") return make("tr", { class: "words" }, make("td", { colspan: kept.length }, c[0]));
      const row = make("tr", { class: k });
      kept.forEach((at, place) => {
        const cell = make("td", { class: right.includes(place) ? "figure" : null });
        if (k === "line" && at === 0) cell.append(this.rowButton(i, row));
        else if (this.order.columns[at] === "changed" && c[at]) cell.append(make("strong", { class: "changed" }, c[at]));
        else cell.append(c[at]);
        row.append(cell);
      });
      if (k === "line") row.addEventListener("click", (event) => { if (event.target.tagName !== "BUTTON") this.touch(i); });
      return row;
    },
    drawSheets(body) {
      if (!this.order.planes.length) body.append(make("p", {}, "No plane carries sheets."));
      for (const plane of this.order.planes) {
        const heads = SHEET_COLUMNS.filter(([key]) => plane.s.some((sheet) => sheet[key]));
        const right = heads.map(([, , figure], at) => (figure ? at : -1)).filter((at) => at >= 0);
        const [table, rows] = this.table(heads.map(([, word]) => word), right);
        for (const sheet of plane.s) {
          const row = make("tr", { class: "line" });
          heads.forEach(([key], at) => row.append(make("td", { class: right.includes(at) ? "figure" : null }, key === "m" ? this.rowButton(sheet.m, row) : sheet[key] || "")));
          rows.append(row);
          const said = [sheet.w, sheet.c && `cut to points: ${sheet.c}`].filter(Boolean).join("; ");
          if (said) rows.append(make("tr", { class: "said" }, make("td", {}), make("td", { colspan: heads.length - 1 }, said)));
        }
        const facts = `${plane.s.length} sheets. Start: ${plane.b}. Lay from the ${plane.a}. mm; left and right as seen from below the eave.`;
        body.append(make("section", {}, make("h2", {}, `${plane.m}: ${plane.t}`), make("p", { class: "facts" }, facts), make("div", { class: "wide-table" }, table)));
      }
    },
    async drawDrawings(body) {
      const number = this.fetched;
      body.append(make("p", {}, "Being drawn."));
      const answer = await fetch(`${this.root}/drawings.json?n=${number}`);
      if (this.view !== "drawings" || number !== this.fetched) return;
      body.replaceChildren();
      if (!answer.ok) { body.append(make("p", {}, await answer.text())); return; }
      const names = await answer.json();
      const known = names.some(([name]) => name === this.drawing);
      if (!known) this.drawing = (names.find(([name]) => name.startsWith("sheets_")) || names[0])[0];
      const id = `drawing-${this.$.uid}`;
      const choice = make("select", { id, onchange: () => { this.drawing = choice.value; this.showDrawing(paper, number); } });
      for (const [name, title] of names) choice.append(make("option", { value: name }, title));
      choice.value = this.drawing;
      const paper = make("div", { class: "paper", tabindex: "0", role: "group", "aria-label": "The drawing" });
      body.append(make("p", { class: "drawing-choice" }, make("label", { for: id }, "Drawing"), choice), paper);
      this.showDrawing(paper, number);
    },
    // The very drawing that is written as a file; marks in it can be touched.
    async showDrawing(paper, number) {
      const answer = await fetch(`${this.root}/drawing/${encodeURIComponent(this.drawing)}?n=${number}`);
      const text = await answer.text();
      if (number !== this.fetched) return;
      paper.replaceChildren();
      if (!answer.ok) { paper.append(make("p", {}, text)); return; }
      const picture = document.importNode(new DOMParser().parseFromString(text, "image/svg+xml").documentElement, true);
      this.rows = new Map();
      for (const word of picture.querySelectorAll('g[data-layer]:not([data-layer="RIM"]) text')) {
        const mark = word.textContent.trim();
        if (!/^(P\d+\.\d+[a-z]?|P\d+|[A-Z]{1,3}\d+(\.\d+)?[a-z]?)$/.test(mark)) continue;
        word.classList.add("mark");
        word.addEventListener("click", () => this.touch(mark));
        if (!this.rows.has(mark)) this.rows.set(mark, { row: word, button: word });
      }
      paper.append(picture);
      this.light(false);
    },
    light(near) {
      const lit = new Set(this.lit || []);
      let first = null;
      for (const [mark, { row, button }] of this.rows) {
        const on = lit.has(mark);
        row.classList.toggle("lit", on);
        if (button.tagName === "BUTTON") button.setAttribute("aria-current", String(on));
        if (on && !first) first = row;
      }
      this.unseen = Boolean(near && lit.size && !(first && this.seen));
      if (first && near && this.seen) first.scrollIntoView({ block: "nearest" });
    },
  },
};
