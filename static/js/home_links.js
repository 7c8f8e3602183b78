// Copies a link's address. Where the browser has no clipboard (plain http), the text is selected.
"use strict";
for (const button of document.querySelectorAll(".copy")) {
  const words = button.querySelector("span");
  const code = button.closest(".about").querySelector("code");
  const before = words.textContent;
  button.hidden = false;
  button.addEventListener("click", async () => {
    getSelection().selectAllChildren(code);
    try {
      if (navigator.clipboard) await navigator.clipboard.writeText(button.dataset.copy);
      else if (!document.execCommand("copy")) throw new Error("refused");
      words.textContent = button.dataset.copied;
    } catch { words.textContent = button.dataset.selected; }
    setTimeout(() => { words.textContent = before; }, 4000);
  });
}
