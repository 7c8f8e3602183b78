// Keys for a sheet that came back: arrows go from box to box, A, D and R tick many at once.
"use strict";
(() => {
  const table = document.querySelector(".returned");
  const rows = [...table.querySelectorAll("tbody tr:not(.session)")]
    .map((row) => [...row.cells].slice(1).map((cell) => cell.querySelector("input")));
  const boxes = rows.flat().filter(Boolean);
  if (!boxes.length) return;
  document.querySelector(".keys").hidden = false;
  // One stop for the Tab key; the arrows do the rest.
  const stop = (box) => { for (const each of boxes) each.tabIndex = each === box ? 0 : -1; };
  const place = (box) => {
    const row = rows.findIndex((each) => each.includes(box));
    return [row, rows[row].indexOf(box)];
  };
  const turn = (some) => {
    const on = some.some((box) => !box.checked);
    for (const box of some) box.checked = on;
  };
  const STEPS = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] };

  function go(box, [down, right]) {
    let [row, day] = place(box);
    for (row += down, day += right; rows[row] && day >= 0 && day < 7; row += down, day += right) {
      if (rows[row][day]) { rows[row][day].focus(); return; }
    }
  }

  table.addEventListener("focusin", (event) => { if (boxes.includes(event.target)) stop(event.target); });
  table.addEventListener("keydown", (event) => {
    if (!boxes.includes(event.target) || event.ctrlKey || event.metaKey || event.altKey) return;
    const [row, day] = place(event.target), key = event.key.toLowerCase();
    if (STEPS[event.key]) go(event.target, STEPS[event.key]);
    else if (key === "a") turn(boxes);
    else if (key === "d") turn(rows.map((each) => each[day]).filter(Boolean));
    else if (key === "r") turn(rows[row].filter(Boolean));
    else return;
    event.preventDefault();
  });
  stop(boxes[0]);
  boxes[0].focus();
})();
