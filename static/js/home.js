// The home page, quicker: ticks are kept on this phone at once and sent one by one, in order.
// A message leaves the queue only when the studio has answered, so nothing is lost and, by its
// key, nothing counts twice. Without this script the same form is sent by its button.
"use strict";
(() => {
  const form = document.getElementById("home");
  if (!form || !form.querySelector("footer")) return;
  form.classList.add("js");
  const address = form.dataset.send;
  const store = `sending ${address}`;
  const net = document.getElementById("net");
  const sent = document.getElementById("sent");
  const button = document.getElementById("send");
  let memory = []; // where a browser refuses to keep anything
  let sending = false;

  const queue = () => {
    try { return JSON.parse(localStorage.getItem(store)) || memory; } catch { return memory; }
  };
  const keep = (list) => {
    memory = list;
    try { localStorage.setItem(store, JSON.stringify(list)); } catch { /* memory has it */ }
  };
  const freshKey = () => {
    // crypto.randomUUID does not exist on plain http, getRandomValues does.
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  };

  function tell(words) {
    net.textContent = words;
    net.hidden = !words;
  }

  function show(waiting, offline) {
    const ticks = waiting === 1 ? "1 tick waits" : `${waiting} ticks wait`;
    if (offline) tell(`No connection. ${ticks} on this phone and go out by themselves.`);
    button.querySelector("span").textContent = offline ? "Send when online" : "Send";
    sent.hidden = waiting > 0 || offline;
  }

  async function flush() {
    if (sending) return;
    sending = true;
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
        if (answer.status === 422) return tell((await answer.json()).sentence);
        if (!answer.ok) return tell("This page is closed. Ask for a new address.");
        tell("");
        show(queue().length, false);
      }
    } finally { sending = false; }
  }

  function post(ticks, word = "") {
    keep([...queue(), { key: freshKey(), at: Date.now(), day: form.dataset.day, ticks, word }]);
    flush();
  }

  function ticksOf(row) {
    const box = row.querySelector("input[name=done]");
    const typed = row.querySelector(".minutes input").value.trim();
    const ids = box.value.split(" ").map(Number);
    const planned = Number(row.dataset.minutes);
    return ids.map((item, n) => {
      const tempo = row.querySelector(`input[data-item="${item}"]:checked`);
      const own = typed === "" || ids.length > 1 && Number(typed) === planned ? null
        : n ? Math.floor(Number(typed) / ids.length)
          : Number(typed) - Math.floor(Number(typed) / ids.length) * (ids.length - 1);
      return { item, done: box.checked, minutes: own, tempo: tempo ? Number(tempo.value) : null };
    });
  }

  function redraw() {
    let done = 0, whole = 0, next = null;
    for (const row of form.querySelectorAll(".row")) {
      const box = row.querySelector("input[name=done]");
      whole += Number(row.dataset.minutes);
      if (!box) continue;
      row.classList.toggle("was", box.checked);
      if (box.checked) done += Number(row.querySelector(".minutes input").value || row.dataset.minutes);
      else next ||= row;
    }
    for (const row of form.querySelectorAll(".row")) row.classList.toggle("now", row === next);
    document.getElementById("done-minutes").textContent = done;
    document.getElementById("done-string").setAttribute("width", whole ? Math.min(100, 100 * done / whole) : 0);
    return next;
  }

  form.addEventListener("change", (event) => {
    const row = event.target.closest(".row");
    if (!row) return;
    if (event.target.name === "done") {
      if (event.target.checked) row.dispatchEvent(new Event("stop"));
      const next = redraw();
      row.querySelector(".more").open = false;
      if (next) next.querySelector(".more").open = true;
    } else redraw();
    post(ticksOf(row));
  });

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const word = form.elements.word;
    if (word.value.trim()) {
      post([], word.value);
      word.value = "";
      word.closest("details").open = false;
    } else flush();
  });

  for (const timer of form.querySelectorAll(".timer")) {
    const row = timer.closest(".row");
    const run = timer.querySelector(".run"), face = timer.querySelector("output");
    const bow = timer.querySelector(".drawn"), whole = Number(row.dataset.minutes) * 60;
    let left = whole, clock = 0, until = 0;
    const draw = () => {
      face.value = `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}`;
      bow.setAttribute("width", 177 * (1 - left / whole));
    };
    const stop = () => {
      clearInterval(clock);
      run.classList.remove("on");
      run.setAttribute("aria-label", "Go on");
    };
    run.addEventListener("click", () => {
      if (run.classList.contains("on")) return stop();
      until = Date.now() + left * 1000;
      run.classList.add("on");
      run.setAttribute("aria-label", "Pause");
      clock = setInterval(() => {
        left = Math.max(0, Math.round((until - Date.now()) / 1000));
        draw();
        if (!left) stop();
      }, 250);
    });
    row.addEventListener("stop", stop);
    timer.hidden = false;
  }

  addEventListener("online", flush);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) flush(); });
  setInterval(() => { if (queue().length) flush(); }, 15000);
  if (queue().length) flush();
})();
