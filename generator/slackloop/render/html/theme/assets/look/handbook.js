/* Small aids that pages do without where scripts are off. Nothing is fetched. */
(() => {
  "use strict";

  /* A table wider than the page scrolls in its frame: give the frame a name and let keys reach it. */
  function nameFrames() {
    for (const frame of document.querySelectorAll(".table-frame")) {
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
  for (const frame of document.querySelectorAll(".table-frame")) watcher.observe(frame);

  /* At a desk there is room: what a phone folds before the first step is open. */
  const wide = matchMedia("(min-width: 60em)");
  if (wide.matches) for (const part of document.querySelectorAll("details.lead")) part.open = true;

  /* A link into a folded part opens it. */
  function openTarget() {
    const target = location.hash.length > 1 && document.getElementById(decodeURIComponent(location.hash.slice(1)));
    for (let part = target; part; part = part.parentElement) if (part.tagName === "DETAILS") part.open = true;
  }
  openTarget();
  addEventListener("hashchange", openTarget);

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
