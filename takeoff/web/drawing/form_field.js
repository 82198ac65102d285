// A field with its label. What is being typed stands until it is done: news from the server does not wipe it out.
export default {
  template: `
  <label class="form-field" :class="{bare, wrong: fault}">
    <span :class="{unseen: bare}">{{label}}</span>
    <select v-if="choices" v-model="text" :aria-label="label" :disabled="off" @change="done">
      <option v-for="one in choices" :key="one[0]" :value="one[0]">{{one[1]}}</option>
    </select>
    <input v-else ref="box" type="text" v-model="text" :aria-label="unit ? label + ', ' + unit : label" :disabled="off" :placeholder="hint" :size="size" autocomplete="off" spellcheck="false"
           :aria-invalid="!!fault" :title="fault" @change="done" @keydown.enter="done" @keydown.esc="text = value">
    <span v-if="unit" class="unit">{{unit}}</span>
  </label>`,
  props: { label: String, value: String, unit: String, choices: Array, bare: Boolean, off: Boolean, hint: String, size: Number, fault: String, version: Number },
  data() { return { text: this.value, sent: this.value }; },
  watch: {
    version() { this.text = this.sent = this.value; },
    value(now) { this.text = this.sent = now; },
  },
  methods: {
    done() {
      if (this.text === this.sent) return;
      this.sent = this.text;
      this.$emit("typed", this.text);
    },
  },
};
