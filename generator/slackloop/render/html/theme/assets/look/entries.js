/* What is written on a page stays on the device until it is written over. Nothing is sent anywhere. */
(() => {
  "use strict";

  const facts = document.querySelector('meta[name="handbook"]');
  const told = document.querySelector("p.kept");
  const fields = [...document.querySelectorAll(".form input[name], .form textarea[name]")];
  if (!facts || !told || !fields.length) return;
  const KEY = `slackloop ${facts.content} box ${facts.dataset.box}`;
  const KEPT = "What you write here is kept on this device only. Write it on the card too: the card is the record.";
  const LOST = "This device cannot keep what you write here. Write it on the card.";

  function read() {
    const text = localStorage.getItem(KEY);
    if (text === null) return {};
    try {
      const found = JSON.parse(text);
      if (found && typeof found === "object" && !Array.isArray(found)) return found;
    } catch {
      /* Put aside below, as it may be all that somebody has. */
    }
    localStorage.setItem(`${KEY} put aside`, text);
    return {};
  }

  const valueOf = (field) => (field.type === "checkbox" ? field.checked : field.value);

  function fill() {
    const kept = read();
    for (const field of fields) {
      if (!Object.hasOwn(kept, field.name) || field === document.activeElement) continue;
      if (field.type === "checkbox") field.checked = kept[field.name] === true;
      else field.value = String(kept[field.name]);
    }
  }

  /* Only the field that changed is written, so that two open pages of one box do not undo each other. */
  function keep(field) {
    try {
      localStorage.setItem(KEY, JSON.stringify({ ...read(), [field.name]: valueOf(field) }));
      told.textContent = KEPT;
      told.classList.remove("lost");
    } catch {
      told.textContent = LOST;
      told.classList.add("lost");
    }
  }

  try {
    localStorage.setItem(`${KEY} try`, "1");
    localStorage.removeItem(`${KEY} try`);
    fill();
    told.textContent = KEPT;
  } catch {
    told.textContent = LOST;
    told.classList.add("lost");
  }
  for (const field of fields) field.addEventListener("input", () => keep(field));
  addEventListener("storage", (event) => {
    if (event.key === KEY) fill();
  });
})();
