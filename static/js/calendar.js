// The week: arrow keys between lessons, and a drag that opens the page on which a lesson is moved.
// Neither changes anything by itself; without this script every lesson is still a link.
(() => {
  "use strict";
  const STEP = 5; // minutes
  const week = document.querySelector(".week");
  if (!week) return;

  const columns = [...week.querySelectorAll(".column")];
  const lessonsOf = (column) => [...column.querySelectorAll("a[href]")];

  // The lesson of another day that stands nearest to the height of this one.
  const beside = (link, step) => {
    const top = link.getBoundingClientRect().top;
    let at = columns.indexOf(link.closest(".column")) + step;
    for (; columns[at]; at += step) {
      const found = lessonsOf(columns[at]);
      if (found.length) {
        const away = (one) => Math.abs(one.getBoundingClientRect().top - top);
        return found.reduce((best, one) => (away(one) < away(best) ? one : best));
      }
    }
    return null;
  };

  week.addEventListener("keydown", (event) => {
    const link = event.target.closest(".column a[href]");
    if (!link || event.altKey || event.ctrlKey || event.metaKey) return;
    const own = lessonsOf(link.closest(".column"));
    const at = own.indexOf(link);
    const goal = {
      ArrowDown: () => own[at + 1],
      ArrowUp: () => own[at - 1],
      ArrowRight: () => beside(link, 1),
      ArrowLeft: () => beside(link, -1),
    }[event.key];
    if (!goal) return;
    event.preventDefault();
    goal()?.focus();
  });

  // -- Drag with a mouse or a pen. A finger scrolls; it opens the lesson and presses Move.
  let drag = null;

  const place = (column, clientY) => {
    const box = column.getBoundingClientRect();
    const opens = Number(column.dataset.opens) * 60;
    const length = Number(column.dataset.closes) * 60 - opens;
    const minute = ((clientY - drag.grip - box.top) / box.height) * length;
    const stepped = Math.round(minute / STEP) * STEP;
    const inside = Math.min(Math.max(stepped, 0), length - STEP);
    return { minutes: opens + inside, top: (inside / length) * box.height };
  };

  const written = (minutes) =>
    [Math.floor(minutes / 60), minutes % 60].map((part) => String(part).padStart(2, "0")).join(":");

  const stop = () => {
    drag?.ghost?.remove();
    drag?.link.classList.remove("dragged");
    document.body.classList.remove("dragging");
    drag = null;
  };

  week.addEventListener("pointerdown", (event) => {
    const link = event.target.closest("a[data-move]");
    if (!link || event.button !== 0 || event.pointerType === "touch") return;
    const grip = event.clientY - link.getBoundingClientRect().top;
    drag = { link, grip, x: event.clientX, y: event.clientY, ghost: null, to: null };
  });
  week.addEventListener("dragstart", (event) => event.preventDefault());

  document.addEventListener("pointermove", (event) => {
    if (!drag) return;
    if (!drag.ghost) {
      if (Math.hypot(event.clientX - drag.x, event.clientY - drag.y) < 6) return;
      drag.ghost = document.createElement("div");
      drag.ghost.className = "drop-here";
      drag.link.classList.add("dragged");
      document.body.classList.add("dragging");
    }
    const column = columns.find((one) => {
      const box = one.getBoundingClientRect();
      return event.clientX >= box.left && event.clientX < box.right;
    });
    if (!column) return;
    const spot = place(column, event.clientY);
    drag.to = { day: column.dataset.day, starts: written(spot.minutes) };
    drag.ghost.textContent = drag.to.starts;
    drag.ghost.style.top = `${spot.top}px`;
    column.append(drag.ghost);
  });

  document.addEventListener("pointerup", (event) => {
    if (!drag) return;
    const { ghost, to, link } = drag;
    if (ghost && to) {
      // The click that follows a drag would open the lesson instead.
      document.addEventListener("click", (click) => click.preventDefault(), { capture: true, once: true });
      location.assign(`${link.dataset.move}?${new URLSearchParams(to)}`);
      event.preventDefault();
    }
    stop();
  });
  document.addEventListener("pointercancel", stop);
  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") stop();
  });
})();
