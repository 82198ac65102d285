// A field of one line: what is typed is said when it is finished (Enter, or leaving it); Escape has back what stood there.
// A value that comes meanwhile does not write over what is being typed.
export default {
  template: `
    <label class="field">
      <span>{{ label }}</span>
      <input ref="box" type="text" spellcheck="false" autocomplete="off" :value="mine" :maxlength="most" :placeholder="hint"
        @input="mine = $event.target.value" @change="finish" @finish-typing="finish" @keydown.escape="mine = value">
    </label>`,
  props: { label: String, value: String, most: Number, hint: String, turn: Number },
  emits: ["typed"],
  data() {
    return { mine: this.value, stood: this.value };
  },
  watch: {
    value(now) {
      if (document.activeElement !== this.$refs.box || this.mine === this.stood) this.mine = now;
      this.stood = now;
    },
    turn() {
      this.mine = this.value;
    },
  },
  methods: {
    finish() {
      if (this.mine !== this.value) this.$emit("typed", this.mine);
    },
  },
};
