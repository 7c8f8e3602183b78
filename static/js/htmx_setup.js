// Sends Django's CSRF token with every htmx request and, after a part of the page is replaced,
// puts the focus where the server asks for it (data-focus: usually the summary of errors).
(() => {
  "use strict";

  document.addEventListener("htmx:config:request", (event) => {
    const request = event.detail.ctx.request;
    const token = document.querySelector('meta[name="csrf-token"]');
    if (token && !["GET", "HEAD"].includes(String(request.method).toUpperCase())) {
      request.headers["X-CSRFToken"] = token.content;
    }
  });

  const focusWanted = () => {
    const wanted = document.querySelector("[data-focus]");
    if (wanted) {
      wanted.removeAttribute("data-focus");
      wanted.focus();
    }
  };
  document.addEventListener("htmx:after:swap", focusWanted);
  document.addEventListener("DOMContentLoaded", focusWanted);
})();
