// The outbox of the single file: nothing is sent. Every message is kept in this browser under the
// sheet's own name (all pages opened from files share one store), and written into a log file.
"use strict";
(() => {
  const root = document.documentElement, sheet = root.dataset.sheet, store = `log ${sheet}`;
  const page = document.getElementById("page");
  const pictures = JSON.parse(document.getElementById("pictures").textContent);
  const days = [...document.querySelectorAll("template[data-day]")];
  let memory = []; // where a browser refuses to keep anything

  const kept = () => {
    try { return JSON.parse(localStorage.getItem(store)) || memory; } catch { return memory; }
  };

  function post(message) {
    memory = [...kept(), message];
    document.getElementById("sent").hidden = true;
    try { localStorage.setItem(store, JSON.stringify(memory)); } catch {
      HomePage.tell(page.querySelector("form").dataset.keepsNothing);
    }
  }

  // FIPS 180-4. crypto.subtle is not there in every browser that opens a file.
  function sha256(text) {
    const roots = (power, count) => {
      const found = [];
      for (let n = 2; found.length < count; n += 1) {
        let prime = true;
        for (let d = 2; d * d <= n; d += 1) if (n % d === 0) prime = false;
        if (prime) found.push(Math.floor((n ** power % 1) * 2 ** 32) >>> 0);
      }
      return found;
    };
    const K = roots(1 / 3, 64), H = roots(1 / 2, 8);
    const bytes = new TextEncoder().encode(text);
    const length = ((bytes.length + 8 >> 6) + 1) * 64;
    const view = new DataView(new ArrayBuffer(length));
    bytes.forEach((byte, n) => view.setUint8(n, byte));
    view.setUint8(bytes.length, 128);
    view.setUint32(length - 8, Math.floor(bytes.length / 2 ** 29));
    view.setUint32(length - 4, bytes.length << 3);
    const turn = (word, by) => word >>> by | word << 32 - by;
    for (let block = 0; block < length; block += 64) {
      const w = [];
      for (let n = 0; n < 64; n += 1) {
        if (n < 16) { w[n] = view.getInt32(block + n * 4); continue; }
        const a = w[n - 15], b = w[n - 2];
        w[n] = w[n - 16] + w[n - 7] + (turn(a, 7) ^ turn(a, 18) ^ a >>> 3) + (turn(b, 17) ^ turn(b, 19) ^ b >>> 10) | 0;
      }
      let [a, b, c, d, e, f, g, h] = H;
      for (let n = 0; n < 64; n += 1) {
        const one = h + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) + (e & f ^ ~e & g) + K[n] + w[n] | 0;
        const two = (turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + (a & b ^ a & c ^ b & c) | 0;
        [a, b, c, d, e, f, g, h] = [one + two | 0, a, b, c, d + one | 0, e, f, g];
      }
      [a, b, c, d, e, f, g, h].forEach((word, n) => { H[n] = H[n] + word | 0; });
    }
    return H.map((word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
  }

  function write() {
    const log = JSON.stringify({ format: "practice-log", version: 1, sheet, messages: kept() });
    const text = JSON.stringify({ log, sha256: sha256(log) });
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "application/json" }));
    link.download = `${root.dataset.name}-log.json`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
    document.getElementById("sent").hidden = false;
  }

  const today = () => {
    const now = new Date();
    return new Date(now - now.getTimezoneOffset() * 60000).toISOString().slice(0, 10);
  };

  function show() {
    const asked = location.hash.slice(1);
    const find = (day) => days.find((each) => each.dataset.day === day);
    const last = days.filter((each) => each.dataset.day <= today()).pop();
    const wanted = find(asked) || last || days[0];
    const copy = wanted.content.cloneNode(true);
    for (const img of copy.querySelectorAll("img")) {
      const picture = pictures[img.getAttribute("src")];
      img.removeAttribute("data-sound");
      img.loading = "eager"; // it is here already
      img.dataset.notes = JSON.stringify(picture.notes);
      img.src = `data:image/svg+xml,${encodeURIComponent(picture.svg)}`;
    }
    const form = copy.querySelector("form");
    if (wanted.dataset.day > today()) for (const box of copy.querySelectorAll("input, fieldset, textarea")) box.disabled = true;
    page.replaceChildren(copy);
    HomePage.start(form, { post, flush: write, waiting: kept });
    scrollTo(0, 0);
  }

  addEventListener("hashchange", show);
  show();
})();
