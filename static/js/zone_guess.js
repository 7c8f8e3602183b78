// Offers the browser's own time zone while the field is empty.
(() => {
  "use strict";
  const field = document.querySelector('input[list="zones"]');
  if (!field || field.value) return;
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if (document.querySelector(`#zones option[value="${CSS.escape(zone)}"]`)) field.value = zone;
})();
