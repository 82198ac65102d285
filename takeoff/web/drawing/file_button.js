// A button that takes a file, chosen or dropped on it, and sends it to this page's own server.
export default {
  template: `
    <div class="file-button" :class="{over}" @dragover.prevent="over = true" @dragleave="over = false" @drop.prevent="dropped">
      <button type="button" class="plain" :disabled="busy !== ''" @click="$refs.box.click()">{{ busy ? 'reading ' + busy : label }}</button>
      <input ref="box" type="file" hidden :accept="accept" :multiple="multiple" :aria-label="label" @change="chosen">
    </div>`,
  props: { url: String, label: String, accept: String, multiple: Boolean, maxFileSize: Number },
  emits: ["refused"],
  data: () => ({ over: false, busy: "" }),
  methods: {
    chosen(event) {
      this.send([...event.target.files]);
      event.target.value = "";
    },
    dropped(event) {
      this.over = false;
      this.send([...event.dataTransfer.files]);
    },
    async send(files) {
      for (const file of this.multiple ? files : files.slice(0, 1)) {
        if (this.maxFileSize && file.size > this.maxFileSize) {
          this.$emit("refused", { name: file.name, size: file.size });
          continue;
        }
        this.busy = file.name;
        try {
          const form = new FormData();
          form.append("file", file, file.name);
          const answer = await fetch(window.path_prefix + this.url, { method: "POST", body: form });
          if (!answer.ok) this.$emit("refused", { name: file.name, size: file.size });
        } catch {
          this.$emit("refused", { name: file.name, size: file.size });
        } finally {
          this.busy = "";
        }
      }
    },
  },
};
