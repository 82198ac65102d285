// Buttons that fetch a file of the order and hand it to the browser to keep; where that cannot be, they say why.
export default {
  template: `<div class="file-buttons">
    <p v-if="why" class="why" role="status">{{ why }}</p>
    <button v-for="[key, words] in files" :key="key" type="button" :disabled="Boolean(why) || busy !== ''" :title="why || words" @click="take(key)">{{ words }}</button>
    <p role="status" class="told">{{ told }}</p>
  </div>`,
  props: { root: String, files: Array, why: String },
  data() { return { busy: "", told: "" }; },
  methods: {
    async take(key) {
      this.busy = key;
      this.told = "The file is being made.";
      try {
        const answer = await fetch(`${this.root}/files/${key}`);
        if (!answer.ok) { this.told = await answer.text(); return; }
        const name = decodeURIComponent(answer.headers.get("x-name"));
        const link = document.createElement("a");
        link.href = URL.createObjectURL(await answer.blob());
        link.download = name;
        document.body.append(link);
        link.click();
        link.remove();
        setTimeout(() => URL.revokeObjectURL(link.href), 10000);
        this.told = `${name} is in the folder for downloads.`;
      } catch (err) {
        this.told = "The page's server does not answer.";
      } finally {
        this.busy = "";
      }
    },
  },
};
