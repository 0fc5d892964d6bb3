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
  let waiting = 0;
  addEventListener("resize", () => {
    clearTimeout(waiting);
    waiting = setTimeout(nameFrames, 150);
  });

  /* On paper every folded part is open. */
  addEventListener("beforeprint", () => {
    for (const part of document.querySelectorAll("article details:not([open])")) part.open = true;
  });
})();
