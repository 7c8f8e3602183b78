// The Bench under the hands: keys K, M and Ctrl P, tempo steps along the metronome, at most two
// bowings, the slider's figure at once. The page works without any of it.
(() => {
  "use strict";
  const form = document.getElementById("bench");
  if (!form) {
    return;
  }
  const marks = form.dataset.marks.split(",").map(Number);
  const MOST_BOWINGS = 2;
  let unsaved = false;
  const changed = (control) => control.dispatchEvent(new Event("input", { bubbles: true }));
  const typing = (control) =>
    control.matches("textarea, select, input:not([type=radio], [type=checkbox], [type=range])");

  // -- Tempo: the next mark of the metronome up or down, never above the tempo wanted ----------
  const step = (box, up) => {
    const [now, wanted] = box.querySelectorAll("input");
    const at = Number(now.value) || marks[0];
    const next = up ? marks.find((mark) => mark > at) : marks.findLast((mark) => mark < at);
    const most = Number(wanted.value) || marks.at(-1);
    if (next !== undefined && !(up && at >= most)) {
      now.value = up ? Math.min(next, most) : next;
      changed(now);
    }
  };

  form.addEventListener("click", (event) => {
    const button = event.target.closest("button[name=step]");
    if (button) {
      event.preventDefault();
      step(button.closest("[data-tempo]"), button.value.endsWith(":up"));
    }
  });

  // -- At most two bowings; choosing another key or etude also moves to it ---------------------
  const limitBowings = () => {
    const all = [...form.querySelectorAll("input[name=scale-bowings]")];
    const full = all.filter((box) => box.checked).length >= MOST_BOWINGS;
    all.forEach((box) => {
      box.disabled = full && !box.checked;
    });
  };
  const moveTo = {
    "scale-key": "scale-move", "scale-octaves": "scale-move", "scale-form": "scale-move",
    "scale-string": "scale-move", "scale-over": "scale-move", "etude-work": "etude-move",
  };

  form.addEventListener(
    "input",
    (event) => {
      const { name, value } = event.target;
      if (event.target.form !== form) {
        return; // what was heard is noted by a form of its own
      }
      if (name === "scale-bowings") {
        limitBowings();
      } else if (name in moveTo) {
        const other = form.querySelector(`input[name=${moveTo[name]}][value=other]`);
        if (other) {
          other.checked = true;
        }
      } else if (name === "week") {
        form.querySelector(".slide output b").textContent = value;
      }
      unsaved = true;
    },
    true
  );
  document.addEventListener("htmx:after:swap", limitBowings);
  limitBowings();

  // -- Keys ------------------------------------------------------------------------------------
  const choose = (control, place) => {
    const radio = control.closest("[data-row]")?.querySelectorAll(".seg-row input")[place];
    if (radio && !radio.checked) {
      radio.focus();
      radio.click();
    }
  };

  document.addEventListener("keydown", (event) => {
    const { key, target } = event;
    if ((event.ctrlKey || event.metaKey) && key.toLowerCase() === "p") {
      event.preventDefault();
      form.requestSubmit(document.getElementById("print"));
      return;
    }
    if (event.ctrlKey || event.metaKey || event.altKey || !form.contains(target)) {
      return;
    }
    const tempo = target.closest("[data-tempo]");
    if (tempo && ["+", "-", "ArrowUp", "ArrowDown"].includes(key)) {
      event.preventDefault();
      step(tempo, key === "+" || key === "ArrowUp");
    } else if (key === "Enter" && target.matches("input, .spot textarea")) {
      event.preventDefault(); // Enter shows the week, it does not leave the page
      changed(target);
    } else if (!typing(target) && (key === "k" || key === "K")) {
      choose(target, 0);
    } else if (!typing(target) && (key === "m" || key === "M")) {
      choose(target, 1);
    }
  });

  // -- Nothing is lost: leaving asks first, coming back from the sheet shows what is saved -----
  form.addEventListener("submit", () => {
    unsaved = false;
  });
  window.addEventListener("beforeunload", (event) => {
    if (unsaved) {
      event.preventDefault();
    }
  });
  window.addEventListener("pageshow", (event) => {
    if (event.persisted) {
      location.reload();
    }
  });
})();
