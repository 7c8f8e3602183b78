// Copies a link's address. Where the browser has no clipboard (plain http), the text is selected.
"use strict";
for (const button of document.querySelectorAll(".copy")) {
  const words = button.querySelector("span");
  const code = button.closest(".about").querySelector("code");
  button.hidden = false;
  button.addEventListener("click", async () => {
    getSelection().selectAllChildren(code);
    try {
      if (navigator.clipboard) await navigator.clipboard.writeText(button.dataset.copy);
      else if (!document.execCommand("copy")) throw new Error("refused");
      words.textContent = "Copied";
    } catch { words.textContent = "Selected: copy it now"; }
    setTimeout(() => { words.textContent = "Copy the address"; }, 4000);
  });
}
