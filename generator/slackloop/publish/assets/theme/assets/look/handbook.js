/* Small aids that pages do without where scripts are off. Nothing is fetched. */
(() => {
  "use strict";

  /* A table wider than the page scrolls in its frame: give the frame a name and let keys reach it. */
  function nameFrames() {
    for (const frame of document.querySelectorAll(".table-scroll")) {
      const scrolls = frame.scrollWidth > frame.clientWidth + 1;
      frame.classList.toggle("scrolls", scrolls);
      if (!scrolls) {
        for (const name of ["tabindex", "role", "aria-label"]) frame.removeAttribute(name);
        continue;
      }
      frame.tabIndex = 0;
      frame.setAttribute("role", "region");
      frame.setAttribute("aria-label", "Table, scroll sideways: " + headingBefore(frame));
    }
  }

  function headingBefore(element) {
    let last = document.querySelector("h1");
    for (const heading of document.querySelectorAll("article h1, article h2, article h3")) {
      if (heading.compareDocumentPosition(element) & Node.DOCUMENT_POSITION_FOLLOWING) last = heading;
    }
    return last ? last.textContent.replace("¶", "").trim() : document.title;
  }

  nameFrames();
  const watcher = new ResizeObserver(nameFrames);
  for (const frame of document.querySelectorAll(".table-scroll")) watcher.observe(frame);

  /* A box is found by typing its id. An id that fits whole opens with Enter, and so does the only one that begins so. */
  const MOST_SHOWN = 8;
  const folded = (text) => text.normalize("NFKC").toLowerCase().replace(/\s+/g, " ").trim();

  function startBoxField(form, pages) {
    const field = form.querySelector("input");
    const said = form.querySelector("[role=status]");
    const list = form.querySelector("ul");
    const boxes = pages.map(([id, page]) => ({ id, key: folded(id), page: form.dataset.top + page }));

    function fitting() {
      const typed = folded(field.value);
      if (!typed) return [];
      const whole = boxes.filter((box) => box.key === typed);
      const exact = whole.filter((box) => box.id === field.value.trim());
      if (exact.length === 1) return exact;
      return whole.length ? whole : boxes.filter((box) => box.key.startsWith(typed));
    }

    function show(found) {
      const typed = field.value.trim();
      const begins = typed ? boxes.filter((box) => box.key.startsWith(folded(typed))) : [];
      list.replaceChildren(
        ...begins.slice(0, MOST_SHOWN).map((box) => {
          const line = document.createElement("li");
          const link = document.createElement("a");
          link.href = box.page;
          link.textContent = box.id;
          line.append(link);
          return line;
        }),
      );
      if (!typed) said.textContent = "";
      else if (!begins.length) said.textContent = `No box is called “${typed}”, and none begins so.`;
      else if (found.length === 1) said.textContent = `Press Enter for box ${found[0].id}.`;
      else if (begins.length > MOST_SHOWN) said.textContent = `${begins.length} boxes begin so. The first ${MOST_SHOWN}:`;
      else said.textContent = `${begins.length} boxes begin so:`;
    }

    field.addEventListener("input", () => show(fitting()));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const found = fitting();
      if (found.length === 1) location.href = found[0].page;
      else if (!field.value.trim()) said.textContent = "Type the id of a box.";
      else show(found);
      field.focus();
    });
    form.hidden = false;
    if (field.value) show(fitting());
  }

  const boxForm = document.querySelector("form.go-to-box");
  if (boxForm && window.boxPages) startBoxField(boxForm, window.boxPages);

  /* The theme opens its menu by a label that keys do not reach. */
  const drawer = document.getElementById("__drawer");
  const opener = document.querySelector('label.md-header__button[for="__drawer"]');
  if (drawer && opener) {
    const tell = () => opener.setAttribute("aria-expanded", String(drawer.checked));
    const turn = (open) => {
      if (drawer.checked !== open) drawer.click();
    };
    opener.tabIndex = 0;
    opener.setAttribute("role", "button");
    opener.setAttribute("aria-label", "Menu");
    drawer.addEventListener("change", tell);
    opener.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      event.stopPropagation(); /* the theme would turn it back */
      turn(!drawer.checked);
    });
    addEventListener("keydown", (event) => {
      if (event.key !== "Escape" || !drawer.checked) return;
      turn(false);
      opener.focus();
    });
    tell();
  }

  /* On paper every folded part is open. */
  addEventListener("beforeprint", () => {
    for (const part of document.querySelectorAll("article details:not([open])")) part.open = true;
  });
})();
