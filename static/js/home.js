// One day's page, quicker: a tick is handed to the outbox at once, the next row opens, a timer runs.
// The outbox is where messages go: home_send.js sends them to the studio, take_home.js keeps them
// for a log file. Without script the same form is sent by its button.
"use strict";
const HomePage = (() => {
  const byId = (id) => document.getElementById(id);

  function freshKey() {
    // crypto.randomUUID does not exist on plain http, getRandomValues does.
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  const rowsOf = (form) => [...form.querySelectorAll(".row")];
  const boxOf = (row) => row.querySelector("input[name=done]");
  const holds = (row, item) => !!boxOf(row)?.value.split(" ").includes(String(item));
  const minutesOf = (row) => row.querySelector(".minutes input");

  // A sentence of the page with its places filled: "{n} ticks wait", { n: 2 }.
  const filled = (sentence, values) => sentence.replace(/\{(\w+)\}/g, (_, name) => values[name]);

  function tell(words) {
    if (!words && document.querySelector(".row.wrong")) return; // what it says is still so
    const net = byId("net");
    net.textContent = words;
    net.hidden = !words;
  }

  // Says what is wrong with the minutes typed, so that no message is made of them; "" when all is well.
  function wrongMinutes(form, row) {
    const field = minutesOf(row), typed = field.value.trim(), most = Number(form.dataset.most);
    const values = { what: row.querySelector(".t b").textContent, value: typed, most };
    const said = !typed || /^\d+$/.test(typed) && Number(typed) <= most ? ""
      : filled(/^-?\d+$/.test(typed) ? form.dataset.minutesRange : form.dataset.minutesWhole, values);
    row.classList.toggle("wrong", !!said);
    if (said) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
    return said;
  }

  // What a row says now, or said as the page came from the studio.
  const NOW = { checked: "checked", value: "value" };
  const AS_IT_CAME = { checked: "defaultChecked", value: "defaultValue" };
  const told = new WeakMap(); // what was last told of each row

  function ticksOf(row, as = NOW) {
    const box = boxOf(row), typed = minutesOf(row)[as.value].trim();
    const ids = box.value.split(" ").map(Number), planned = Number(row.dataset.minutes);
    return ids.map((item, n) => {
      const tempo = [...row.querySelectorAll(`input[data-item="${item}"]`)].find((peg) => peg[as.checked]);
      const share = Math.floor(Number(typed) / ids.length);
      const own = typed === "" || ids.length > 1 && Number(typed) === planned ? null
        : n ? share : Number(typed) - share * (ids.length - 1);
      return { item, done: box[as.checked], minutes: own, tempo: tempo ? Number(tempo.value) : null };
    });
  }

  // Only what was changed here since it was last told: another phone may have told the rest.
  function newsOf(row) {
    const before = told.get(row) ?? ticksOf(row, AS_IT_CAME), now = ticksOf(row);
    told.set(row, now);
    const news = now.map((tick, n) => Object.fromEntries(
      Object.entries(tick).filter(([what, value]) => what === "item" || value !== before[n][what])));
    return news.filter((tick) => Object.keys(tick).length > 1);
  }

  function redraw(form) {
    let done = 0, whole = 0, next = null;
    for (const row of rowsOf(form)) {
      const box = boxOf(row);
      whole += Number(row.dataset.minutes);
      if (!box) continue;
      row.classList.toggle("was", box.checked);
      if (box.checked) done += Number(minutesOf(row).value || row.dataset.minutes);
      else next ||= row;
    }
    for (const row of rowsOf(form)) row.classList.toggle("now", row === next);
    byId("done-minutes").textContent = done;
    byId("done-string").setAttribute("width", whole ? Math.min(100, 100 * done / whole) : 0);
    return next;
  }

  function open(next) {
    if (!next) return;
    next.closest("details.session").open = true;
    next.querySelector(".more").open = true;
  }

  // A session folds to one line with its last tick; one with time that owes no tick stays open.
  function fold(form) {
    for (const session of form.querySelectorAll("details.session")) {
      const boxes = [...session.querySelectorAll("input[name=done]")];
      const done = boxes.every((box) => box.checked), was = session.classList.contains("done");
      session.classList.toggle("done", done);
      if (done && !was && !session.querySelector("[data-free], .wrong")) session.open = false;
    }
  }

  // What waits in the outbox is shown as if it had arrived: the page may be an older copy.
  function replay(form, messages) {
    let found = false;
    for (const message of messages) for (const tick of message.ticks) {
      const row = rowsOf(form).find((each) => holds(each, tick.item));
      if (!row) continue;
      found = true;
      if ("done" in tick) boxOf(row).checked = tick.done;
      const tempo = row.querySelector(`input[data-item="${tick.item}"][value="${tick.tempo}"]`);
      if (tempo) tempo.checked = true;
      const parts = message.ticks.filter((each) => holds(row, each.item));
      if ("minutes" in tick) {
        minutesOf(row).value = parts.some((each) => each.minutes !== null)
          ? parts.reduce((sum, each) => sum + (each.minutes ?? 0), 0) : "";
      }
      told.set(row, ticksOf(row));
    }
    if (!found) return;
    const next = redraw(form);
    fold(form);
    for (const row of rowsOf(form)) {
      const more = row.querySelector(".more");
      if (more) more.open = row === next;
    }
  }

  function timer(form, element) {
    const row = element.closest(".row"), whole = Number(row.dataset.minutes) * 60;
    const run = element.querySelector(".run"), face = element.querySelector("output");
    const bow = element.querySelector(".drawn");
    let left = whole, clock = 0, until = 0;
    const draw = () => {
      face.value = `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}`;
      bow.setAttribute("width", 177 * (1 - left / whole));
    };
    const stop = () => {
      clearInterval(clock);
      run.classList.remove("on");
      run.setAttribute("aria-label", form.dataset.goOn);
    };
    run.addEventListener("click", () => {
      if (run.classList.contains("on")) return stop();
      until = Date.now() + left * 1000;
      run.classList.add("on");
      run.setAttribute("aria-label", form.dataset.pause);
      clock = setInterval(() => {
        left = Math.max(0, Math.round((until - Date.now()) / 1000));
        draw();
        if (!left || !element.isConnected) stop();
      }, 250);
    });
    row.addEventListener("stop", stop);
    element.hidden = false;
  }

  // `outbox`: post(message) takes one in, flush() sends what waits, waiting() lists what is shown.
  function start(form, outbox) {
    form.classList.add("js");
    const post = (ticks, word = "") =>
      outbox.post({ key: freshKey(), at: Date.now(), day: form.dataset.day, ticks, word });

    const hand = (row) => {
      const news = newsOf(row);
      if (news.length) post(news);
    };

    form.addEventListener("change", (event) => {
      const row = event.target.closest(".row");
      if (!row) return;
      if (event.target.name === "done" && event.target.checked) row.dispatchEvent(new Event("stop"));
      const said = wrongMinutes(form, row);
      if (said) {
        // Not at once: a strip that comes between press and release takes the tap away.
        setTimeout(() => tell(wrongMinutes(form, row)), 250);
        open(row);
        return;
      }
      tell("");
      const next = redraw(form);
      if (event.target.name === "done") {
        row.querySelector(".more").open = false;
        fold(form);
        open(next);
      }
      hand(row);
    });

    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const word = form.elements.word;
      if (word.value.trim()) {
        post([], word.value);
        word.value = "";
        word.closest("details").open = false;
      }
      outbox.flush();
    });

    // A word that is only typed has not arrived.
    form.elements.word?.addEventListener("input", () => { byId("sent").hidden = true; });

    // What the studio would not take: its row opens again, its word stands in the field again.
    form.addEventListener("refused", (event) => {
      const { message, item } = event.detail, word = form.elements.word;
      const row = rowsOf(form).find((each) => holds(each, item));
      if (row) {
        told.delete(row);
        open(row);
      }
      if (!message.word || word.value) return;
      word.value = message.word;
      word.closest("details").open = true;
    });

    for (const each of form.querySelectorAll(".timer")) timer(form, each);
    const early = rowsOf(form).filter((row) => boxOf(row) && boxOf(row).checked !== boxOf(row).defaultChecked);
    replay(form, outbox.waiting());
    for (const row of early) hand(row); // tapped before this script ran
    if (early.length) open(redraw(form));
  }

  return { start, freshKey, filled, tell };
})();
