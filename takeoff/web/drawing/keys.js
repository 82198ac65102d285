// Keys that hold for the whole page: step back, step forth, save. Where somebody types, the field steps back by itself.
export default {
  template: `<span hidden></span>`,
  emits: ["pressed"],
  mounted() {
    window.addEventListener("keydown", this.heard, true);
  },
  unmounted() {
    window.removeEventListener("keydown", this.heard, true);
  },
  methods: {
    heard(event) {
      if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
      const key = event.key.toLowerCase();
      if (key === "s" && !event.shiftKey) {
        event.preventDefault();
        if (event.repeat) return;
        document.activeElement?.dispatchEvent(new CustomEvent("finish-typing", { bubbles: true }));
        this.$emit("pressed", "save");
        return;
      }
      if (this.typing(event.target)) return;
      const wish = key === "z" ? (event.shiftKey ? "redo" : "undo") : key === "y" && !event.shiftKey ? "redo" : "";
      if (!wish) return;
      event.preventDefault();
      this.$emit("pressed", wish);
    },
    typing(at) {
      if (!(at instanceof HTMLElement)) return false;
      if (at.isContentEditable || at.tagName === "TEXTAREA") return !at.readOnly;
      const other = ["button", "checkbox", "radio", "range", "color", "file", "submit", "reset", "image"];
      return at.tagName === "INPUT" && !other.includes(at.type) && !at.readOnly;
    },
  },
};
