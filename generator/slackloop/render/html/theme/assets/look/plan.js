/* The site plan that can be tapped: the box nearest to the tap, and a bar that opens it or goes on to the next. */
(() => {
  "use strict";

  const facts = document.querySelector('meta[name="handbook"]');
  const pages = new Map(window.boxPages || []);
  const top = facts ? `${facts.dataset.top}/` : "";

  function button(words, label) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = words;
    made.setAttribute("aria-label", label);
    return made;
  }

  function startPlan(figure) {
    const drawing = figure.querySelector("svg");
    const order = [...pages.keys()];
    const spots = JSON.parse(figure.dataset.spots)
      .filter(([id]) => pages.has(id))
      .sort(([a], [b]) => order.indexOf(a) - order.indexOf(b));
    if (!drawing || !spots.length) return;
    const frame = document.createElement("div");
    frame.className = "plan";
    drawing.replaceWith(frame);
    const mark = document.createElement("span");
    mark.className = "plan-mark";
    mark.hidden = true;
    frame.append(drawing, mark);
    const bar = document.createElement("div");
    bar.className = "plan-bar";
    const before = button("‹", "Box before");
    const after = button("›", "Box after");
    const name = document.createElement("output");
    name.textContent = "Tap near a box";
    const open = document.createElement("a");
    open.textContent = "Open";
    open.hidden = true;
    bar.append(before, name, open, after);
    frame.after(bar);
    let at = -1;

    function choose(number) {
      at = (number + spots.length) % spots.length;
      const [id, across, down] = spots[at];
      name.textContent = id;
      open.href = top + pages.get(id);
      open.hidden = false;
      open.setAttribute("aria-label", `Open box ${id}`);
      mark.hidden = false;
      mark.style.left = `${across * 100}%`;
      mark.style.top = `${down * 100}%`;
    }

    before.addEventListener("click", () => choose(at < 0 ? 0 : at - 1));
    after.addEventListener("click", () => choose(at + 1));
    frame.addEventListener("click", (event) => {
      const size = frame.getBoundingClientRect();
      const far = ([, across, down]) =>
        Math.hypot(size.left + across * size.width - event.clientX, size.top + down * size.height - event.clientY);
      let nearest = 0;
      spots.forEach((spot, number) => {
        if (far(spot) < far(spots[nearest])) nearest = number;
      });
      choose(nearest);
    });
  }

  for (const figure of document.querySelectorAll("figure[data-spots]")) startPlan(figure);
})();
