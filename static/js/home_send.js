// The way to the studio: messages are kept on this phone at once and sent one by one, in order.
// A message leaves the queue only when the studio has answered, so nothing is lost and, by its
// key, nothing counts twice.
"use strict";
(() => {
  const form = document.getElementById("home");
  if (!form || !form.querySelector("footer")) return;
  const { filled, tell } = HomePage;
  const address = form.dataset.send;
  const store = `sending ${address}`;
  const sent = document.getElementById("sent");
  const button = document.getElementById("send").querySelector("span");
  const send = button.textContent;
  let memory = []; // where a browser refuses to keep anything
  let sending = false;
  let again = false; // asked for while a sending was on its way, which may be about to fail

  const queue = () => {
    try { return JSON.parse(localStorage.getItem(store)) || memory; } catch { return memory; }
  };
  const keep = (list) => {
    memory = list;
    try { localStorage.setItem(store, JSON.stringify(list)); } catch { /* memory has it */ }
  };

  function show(waiting, offline) {
    const { waits, wait } = form.dataset;
    if (offline) tell(filled(waiting === 1 ? waits : wait, { n: waiting }));
    button.textContent = offline ? button.dataset.offline : send;
    sent.hidden = waiting > 0 || offline;
  }

  async function flush() {
    if (sending) { again = true; return; }
    sending = true;
    again = false;
    let refused = false;
    try {
      for (let list = queue(); list.length; list = queue()) {
        const { at, ...message } = list[0];
        for (const tick of message.ticks) tick.ago = (Date.now() - at) / 1000;
        let answer;
        try {
          answer = await fetch(address, { method: "POST", body: JSON.stringify(message), cache: "no-store" });
        } catch { answer = null; }
        if (!answer || answer.status === 429 || answer.status >= 500) return show(queue().length, true);
        keep(queue().filter((each) => each.key !== message.key));
        if (answer.status === 422) {
          const { sentence, item } = await answer.json();
          tell(sentence);
          form.dispatchEvent(new CustomEvent("refused", { detail: { message, item } }));
          refused = true;
          continue;
        }
        if (!answer.ok) return tell(form.dataset.closed);
        if (!refused) tell("");
        show(queue().length, false);
      }
    } finally {
      sending = false;
      if (again) flush();
    }
  }

  HomePage.start(form, {
    waiting: queue,
    flush,
    post(message) {
      keep([...queue(), message]);
      flush();
    },
  });

  if (isSecureContext && navigator.serviceWorker) {
    const made = performance.getEntriesByType("resource").map((each) => each.name);
    navigator.serviceWorker.register(form.dataset.worker, { scope: "/home/" })
      .then(() => navigator.serviceWorker.ready)
      .then((ready) => ready.active.postMessage({ keep: [location.href.split(/[?#]/)[0], ...made] }))
      .catch(() => { /* the page works without */ });
  }
  addEventListener("online", flush);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) flush(); });
  setInterval(() => { if (queue().length) flush(); }, 15000);
  if (queue().length) flush();
})();
