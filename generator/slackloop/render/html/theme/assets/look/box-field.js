/* A box is found by typing its number. An id that fits whole opens with Enter, and so does the only one that begins so.
   On the page of a section the field shows the values of that box instead, and remembers it for the next page. */
(() => {
  "use strict";

  const MOST_SHOWN = 8;
  const folded = (text) => text.normalize("NFKC").toLowerCase().replace(/\s+/g, " ").trim();
  const facts = document.querySelector('meta[name="handbook"]');
  const top = facts ? `${facts.dataset.top}/` : "";
  const boxes = (window.boxPages || []).map(([id, page]) => ({ id, key: folded(id), page: top + page }));
  const LAST = `slackloop ${facts ? facts.content : ""} last box`;

  function lastBox() {
    try {
      const id = localStorage.getItem(LAST);
      return boxes.find((box) => box.id === id);
    } catch {
      return undefined;
    }
  }

  function remember(id) {
    try {
      localStorage.setItem(LAST, id);
    } catch {
      /* A device that keeps nothing asks again on each page. */
    }
  }

  /* The boxes that a typed text means. Digits find the box with that number, with or without zeros before it. */
  function meant(text) {
    const typed = folded(text);
    if (!typed) return [];
    if (/^[0-9]+$/.test(typed)) {
      const numbered = boxes.filter((box) => /[0-9]+$/.test(box.key) && Number(box.key.match(/[0-9]+$/)[0]) === Number(typed));
      if (numbered.length === 1) return numbered;
    }
    const whole = boxes.filter((box) => box.key === typed);
    const exact = whole.filter((box) => box.id === text.trim());
    if (exact.length === 1) return exact;
    return whole.length ? whole : boxes.filter((box) => box.key.startsWith(typed));
  }

  function links(list, found) {
    list.replaceChildren(
      ...found.slice(0, MOST_SHOWN).map((box) => {
        const line = document.createElement("li");
        const link = document.createElement("a");
        link.href = box.page;
        link.textContent = box.id;
        line.append(link);
        return line;
      }),
    );
  }

  function startField(form) {
    const field = form.querySelector("input");
    const said = form.querySelector("[role=status]");
    const list = form.querySelector("ul");
    const values = form.querySelector("dl");

    function showValues(box) {
      for (const cell of values.querySelectorAll("dd")) {
        const known = (window.boxValues || {})[cell.dataset.value];
        const number = box && known ? known.boxes[box.id] : undefined;
        cell.textContent = number === undefined ? "" : known.texts[number];
        cell.parentElement.hidden = number === undefined;
      }
    }

    function show() {
      const typed = field.value.trim();
      const found = meant(field.value);
      const begins = typed ? boxes.filter((box) => box.key.startsWith(folded(typed)) || found.includes(box)) : [];
      const one = found.length === 1 ? found[0] : undefined;
      if (values) showValues(one);
      links(list, values && one ? [] : begins);
      if (!typed) said.textContent = "";
      else if (!begins.length) said.textContent = `No box is called “${typed}”, and none begins so.`;
      else if (one && values) {
        const link = document.createElement("a");
        link.href = one.page;
        link.textContent = `Page of ${one.id}`;
        said.replaceChildren(link);
        remember(one.id);
      } else if (one) said.textContent = `Press Enter for box ${one.id}.`;
      else if (begins.length > MOST_SHOWN) said.textContent = `${begins.length} boxes begin so. The first ${MOST_SHOWN}:`;
      else said.textContent = `${begins.length} boxes begin so:`;
    }

    if (facts.dataset.box) field.placeholder = facts.dataset.box;
    field.addEventListener("input", show);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const found = meant(field.value);
      if (!field.value.trim()) said.textContent = "Type the number of a box.";
      else if (found.length === 1 && values) field.blur();
      else if (found.length === 1) location.href = found[0].page;
      else show();
      if (!(found.length === 1)) field.focus();
    });
    form.hidden = false;
    const last = lastBox();
    if (values && last && !field.value) field.value = last.id;
    if (field.value) show();
  }

  if (facts && facts.dataset.box) remember(facts.dataset.box);
  if (!boxes.length) return;
  for (const form of document.querySelectorAll("form.box-finder")) startField(form);

  /* The box worked at last is one tap away. */
  const last = lastBox();
  if (!last) return;
  const under = document.querySelector(".thumb a.boxes");
  if (under) {
    under.href = last.page;
    under.firstElementChild.textContent = last.id;
    under.setAttribute("aria-label", `Box ${last.id}`);
  }
  const door = document.querySelector('.doors a[href$="boxes/all.html"]');
  if (door) {
    door.href = last.page;
    door.querySelector("span").textContent = `${last.id}, opened last`;
  }
})();
