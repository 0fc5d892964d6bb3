/* What is done with all that was written on this device: saved as one file, taken in from another, counted. */
(() => {
  "use strict";

  const store = window.records;
  const bar = document.querySelector(".record-bar");
  const signs = window.boxSigns || [];
  const BAD = ["out", "ask", "odd", "open"];
  const PAUSE_MS = 300; /* counted once typing rests */

  /* By box or run, the checks that have a value. */
  function written(entries) {
    const found = new Map();
    for (const { subject, check, value, mark } of entries) {
      if (!value || value === "no" || mark === "stale") continue; /* stale: signed over what has changed since */
      if (!found.has(subject)) found.set(subject, new Set());
      found.get(subject).add(check);
    }
    return found;
  }

  /* By box or run the worst of its readings: one that is not good, or one that its page has not judged. */
  function worst(entries) {
    const found = new Map();
    for (const { subject, value, mark } of entries) {
      if (!value) continue;
      if (BAD.includes(mark)) found.set(subject, "bad");
      else if (mark === undefined && !found.has(subject)) found.set(subject, "unread");
    }
    return found;
  }

  /* Boxes and runs that are done, or begun, or signed off over what is not good or not judged. */
  function states(entries) {
    const [has, not] = [written(entries), worst(entries)];
    const found = new Map();
    for (const [checks, subjects] of signs) {
      for (const subject of subjects) {
        const some = has.get(subject);
        const isSigned = some && checks.every((check) => some.has(check));
        if (some) found.set(subject, isSigned ? not.get(subject) || "done" : "begun");
      }
    }
    return found;
  }

  function showProgress(found) {
    const shown = bar.querySelector(".progress");
    if (!shown) return;
    const isRun = (subject) => subject.startsWith("run:");
    const of = (state, ofRuns) => [...found].filter(([name, is]) => is === state && isRun(name) === ofRuns).length;
    const subjects = signs.flatMap(([, some]) => some);
    const runs = subjects.filter(isRun).length;
    const [boxes, doneRuns] = [subjects.length - runs, of("done", true)];
    const [done, bad, unread] = [of("done", false), of("bad", false), of("unread", false)];
    const begun = of("begun", false) + bad + unread;
    shown.hidden = !subjects.length;
    shown.textContent = `Boxes signed off on this device: ${done} of ${boxes}. Begun: ${begun}.`;
    const ringRuns = `Ring runs signed off: ${doneRuns} of ${runs}.`;
    const signedOver = `Signed, but a reading is not good: ${bad}.`;
    const notJudged = `Signed, but not judged yet: ${unread}. Open their pages.`;
    if (bad) shown.append(` ${signedOver}`);
    if (unread) shown.append(` ${notJudged}`);
    if (runs) shown.append(` ${ringRuns}`);
  }

  function markBoxes(found) {
    const words = {
      done: "signed off",
      begun: "not yet signed off",
      bad: "a reading is not good",
      unread: "open its page to judge its readings",
    };
    for (const link of document.querySelectorAll("ul.chips a")) {
      const id = (link.querySelector("strong") || link).textContent.trim();
      const state = found.get(id) || found.get(`run:${id}`);
      link.classList.remove("done", "begun");
      if (!state) continue;
      link.classList.add(state === "done" ? "done" : "begun");
      link.setAttribute("aria-label", `${id}, ${words[state]}`);
    }
  }

  const told = (...parts) => bar.querySelector(".told").replaceChildren(...parts);
  const tellMore = (...parts) => bar.querySelector(".told").append(...parts, document.createElement("br"));

  function button(words, act, look = "") {
    const made = document.createElement("button");
    made.type = "button";
    made.className = look;
    made.textContent = words;
    made.addEventListener("click", act);
    return made;
  }

  function showCount(entries) {
    const fresh = entries.filter((entry) => !entry.taken && !store.isSaved(entry)).length;
    bar.querySelector(".count").textContent = `Entries on this device: ${entries.length}. Not saved yet: ${fresh}.`;
  }

  /* Rows without a name say nothing of who answers for them. */
  function askName() {
    const field = document.getElementById("writer");
    if (field) field.focus();
    told(field ? "Write your name first." : "Write your name first, on the page of a box.");
  }

  function save(revision = store.handbook.revision) {
    const by = store.writer();
    if (!by) return askName();
    const when = store.stamp();
    const text = store.file.text(store.all(revision), by, when);
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "text/csv;charset=utf-8" }));
    link.download = store.file.name(by, when);
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    if (revision === store.handbook.revision) store.setSaved();
    const name = link.download;
    told(`Saved: ${name}. It all stays on this device too.`);
    showCount(store.all());
  }

  async function textOf(file) {
    const bytes = await file.arrayBuffer();
    try {
      return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
    } catch {
      return new TextDecoder("windows-1252").decode(bytes);
    }
  }

  function merge(found, name) {
    const done = store.file.merge(found.entries);
    const lines = [`${name}: ${done.fresh} taken in, ${done.older} not newer than here.`];
    if (found.bad.length) lines.push(`Rows that cannot be read: ${found.bad.join(", ")}.`);
    if (done.lost) lines.push(`This device cannot keep ${done.lost} of them. Save as CSV before you leave this page.`);
    dispatchEvent(new Event("records-taken-in"));
    refresh();
    tellMore(lines.join(" "));
  }

  async function takeIn(file) {
    const found = store.file.parsed(await textOf(file));
    const name = file.name;
    if (!found) tellMore(`${name} is no file of records: its first row must name box, check, value, unit, by and when.`);
    else if (found.isOurs) merge(found, name);
    else {
      const all = button("Take it in all the same", () => {
        all.remove();
        merge(found, name);
      });
      tellMore(`${name} was written on another copy of the handbook. `, all);
    }
  }

  function refresh() {
    const entries = store.all();
    const found = states(entries);
    showProgress(found);
    showCount(entries);
    markBoxes(found);
  }

  if (!store || !bar) return;
  bar.hidden = false;
  bar.querySelector(".save").addEventListener("click", () => save());
  bar.querySelector("input").addEventListener("change", async (event) => {
    told();
    for (const file of event.target.files) await takeIn(file);
    event.target.value = "";
  });
  for (const revision of store.otherRevisions()) {
    bar.append(button(`Save entries of revision ${revision}`, () => save(revision), "other"));
  }
  refresh();
  let waiting = 0;
  const soon = () => {
    clearTimeout(waiting);
    waiting = setTimeout(refresh, PAUSE_MS);
  };
  addEventListener("records-changed", soon);
  addEventListener("storage", (event) => store.isEntry(event.key) && soon());
})();
