/* The fields of a page: what is typed is kept on the device at once, and marked where it is outside its limits. */
(() => {
  "use strict";

  const store = window.records;
  const told = document.querySelector("p.kept");
  const fields = [...document.querySelectorAll(".form input[name], .form textarea[name]")];
  if (!store || !told || !fields.length) return;
  const KEPT = "What you write here is kept on this device only. Save it as a file each day.";
  const LOST = "This device cannot keep what you write here. Save it as a file before you leave this page, or write it on the card.";
  const ASIDE_MS = 700;
  const MARKS = { in: "✓", out: "✗", ask: "?", odd: "?", open: "" };

  function factsOf(field) {
    const { kind, unit = "", least, most, lowest, highest, expected, loop, hold, near, off, soil, alone } = field.dataset;
    const bound = (text) => (text === undefined ? undefined : Number(text));
    const [limits, likely] = [
      { least: bound(least), most: bound(most) },
      { lowest: bound(lowest), highest: bound(highest) },
    ];
    const [rule, first, allOff, ofJob] = [loop, near, off, soil].map((text) => text && JSON.parse(text));
    const signed = { hold: hold !== undefined, answers: hold !== undefined && alone === undefined };
    const later = field.dataset.later !== undefined;
    return { kind, unit, ...limits, ...likely, expected, loop: rule, near: first, off: allOff, soil: ofJob, ...signed, later };
  }

  const facts = new Map(fields.map((field) => [field, factsOf(field)]));
  const isOfBox = Boolean(document.querySelector('meta[name="handbook"]').dataset.box);
  const kindOf = (field) => facts.get(field).kind;
  const records = fields.filter((field) => kindOf(field) !== "date");
  const signatures = records.filter((field) => kindOf(field) === "sign");

  /* What a value is of; one of a day is of the date on the page, else of today. */
  function subjectOf(field) {
    const subject = field.dataset.subject || field.closest(".form").dataset.subject || "";
    if (!subject.endsWith(":")) return subject;
    const date = document.querySelector(".form [data-kind=date]");
    return `${subject}${date ? date.value : store.stamp().slice(0, 10)}`;
  }

  const { of: judged, dayOf } = store.compared({ records, facts, subjectOf, stamp: store.stamp, read: store.read });

  /* The mark in the field, and under it what is wrong or asked. */
  function show(field) {
    if (kindOf(field) === "tick") return;
    const around = field.closest(".field");
    const found = judged(field);
    around.dataset.state = found.state;
    field.setAttribute("aria-invalid", String(["out", "odd"].includes(found.state)));
    around.querySelector(".mark-of").textContent = MARKS[found.state] || "";
    const said = around.querySelector(".said");
    said.textContent = found.message || "";
    if (found.meant) said.append(yes(field, found.meant));
    const stop = around.querySelector(".stop");
    if (stop) stop.hidden = found.state !== "out";
    if (kindOf(field) === "sign") showSignature(field, around);
  }

  function button(words, act) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = words;
    made.addEventListener("click", act);
    return made;
  }

  function yes(field, meant) {
    const unit = facts.get(field).unit;
    return button(`Yes, ${meant} ${unit}`, () => {
      field.value = meant;
      keep(field);
      field.focus();
    });
  }

  const signing = store.signatures({ records, facts, subjectOf, judged, read: store.read });

  /* When it was signed, over what, and what is missing. An empty one is signed with the writer's name by one tap; for a
     hold the inspector writes the name. */
  function showSignature(field, around) {
    const entry = store.read(subjectOf(field), field.name);
    const isSigned = Boolean(entry && entry.value);
    const [names, bad] = isSigned ? [signing.lacking(field), signing.failing(field)] : ["", ""];
    const isHold = facts.get(field).hold;
    const missing = isHold ? `First: ${names}.` : `Signed although not recorded: ${names}.`;
    const over = `Not signed off: ${bad}.`;
    const own = isSigned && signing.isOwn(field) ? "Nobody inspects their own work." : "";
    const isOld = isSigned && !bad && signing.isOutdated(field);
    const changed = isOld ? "Changed after it was signed. Sign again." : "";
    const time = around.querySelector("time") || around.appendChild(document.createElement("time"));
    time.textContent = isSigned ? entry.when.slice(0, 16).replace("T", " ") : "";
    const stop = bad && signing.stopOf(field);
    const told = [bad && `${over}${stop}`, changed, names && missing, ...openAt(field, isSigned), own].filter(Boolean);
    around.querySelector(".said").textContent = told.join(" ");
    around.dataset.state = bad || isOld ? "out" : told.length ? "ask" : "";
    around.querySelector(".mark-of").textContent = bad || isOld ? MARKS.out : "";
    field.setAttribute("aria-invalid", String(Boolean(bad) || isOld));
    if (isHold) return;
    let sign = around.querySelector(".entry button");
    if (!sign) {
      sign = button("Sign", () => {
        field.value = store.writer();
        keep(field);
      });
      around.querySelector(".entry").append(sign);
    }
    sign.hidden = (isSigned && !isOld) || !store.writer();
  }

  /* What is not good or not signed elsewhere at the box whose stations somebody signs for. */
  function openAt(field, isSigned) {
    const { bad, unsigned } = isSigned ? signing.stillOpen(field) : {};
    const notGood = `Not good at this box: ${bad}.`;
    const notSigned = `Not signed at this box: ${unsigned}.`;
    return [bad && notGood, unsigned && notSigned];
  }

  /* A temperature is kept in degrees Celsius and shown in the unit of its field. */
  function shown(field, entry) {
    if (entry.typed !== undefined) return entry.typed;
    if (kindOf(field) !== "soil" || facts.get(field).unit !== "°F" || entry.value === "") return entry.value;
    return String(Number(window.records.reading.between(Number(entry.value), "°C", "°F").toFixed(1)));
  }

  function fill(isAll) {
    for (const field of records) {
      const entry = store.read(subjectOf(field), field.name);
      if (field === document.activeElement && !isAll) continue;
      if (kindOf(field) === "tick") field.checked = Boolean(entry) && entry.value === "yes";
      else field.value = entry ? shown(field, entry) : "";
    }
    records.forEach(show);
    keepMarks();
  }

  /* How each reading stands is kept with it: a box is not done while one of its readings is not good. How a signature
     stands is kept once the reading is written: what is typed key by key takes none away. */
  function keepMarks(isTyping = false) {
    for (const field of records) {
      if (isTyping && kindOf(field) === "sign") continue;
      const [subject, check] = [subjectOf(field), field.name];
      const entry = store.read(subject, check);
      const isShown = entry && entry.value && (kindOf(field) === "tick" || shown(field, entry) === field.value);
      const signed = () => (kindOf(field) === "sign" ? signing.markOf(field) : "");
      const mark = signing.isReading(field) ? judged(field).state : signed();
      if (isShown && entry.mark !== mark) store.write(subject, check, { ...entry, mark });
    }
  }

  /* What was taken in of this box and no field is for has nothing to be judged by. */
  function passOver() {
    const form = isOfBox && fields[0].closest(".form");
    for (const { subject, check, ...entry } of form ? store.all() : []) {
      const isOther = subject === form.dataset.subject && !records.some((each) => each.name === check);
      if (isOther && entry.mark === undefined) store.write(subject, check, { ...entry, mark: "" });
    }
  }

  /* What is written on a sheet may be under a signature on the page of its box, which judges it again. */
  function doubtSigned(subject) {
    for (const { subject: of, check, mark, ...entry } of isOfBox || subject.startsWith("day:") ? [] : store.all()) {
      const isElsewhere = of === subject && !records.some((each) => each.name === check && subjectOf(each) === subject);
      if (isElsewhere && mark !== undefined) store.write(of, check, entry);
    }
  }

  /* Volts at boxes go by those of the day: they are judged again on their own pages. */
  function doubtVolts(day) {
    for (const { subject, check, mark, ...entry } of store.all()) {
      const isOfDay = entry.unit === "V" && mark !== undefined && subject !== day && day === `day:${dayOf(entry)}`;
      if (isOfDay) store.write(subject, check, entry);
    }
  }

  function valueOf(field) {
    if (kindOf(field) === "tick") return { value: field.checked ? "yes" : "no", unit: "" };
    const { value, unit } = kindOf(field) === "note" ? { value: field.value, unit: "" } : judged(field);
    return { value, unit, typed: field.value };
  }

  /* A value that was taken away before any file had it leaves nothing; else the file has to say that it is gone. */
  function keep(field) {
    const [subject, check] = [subjectOf(field), field.name];
    const old = store.read(subject, check);
    const found = valueOf(field);
    const isSignedFor = (entry) => signing.isReading(field) && signing.wasSigned(field, entry);
    const earlier = store.standing.kept(field, old, isSignedFor);
    const isInFile = [old, store.standing.of(field)].some((one) => one && (one.taken || one.emptied || store.isSaved(one)));
    if (found.value === "" && !isInFile && !earlier.length) store.remove(subject, check);
    else {
      const note = old ? old.note : "";
      const written = { ...found, by: store.writer(), ...store.now(), note, handbook: store.handbook.fingerprint };
      const entry = earlier.length ? { ...written, earlier } : written;
      tell(store.write(subject, check, found.value === "" ? { ...entry, emptied: true } : entry));
    }
    for (const other of records.filter((each) => ["loop", "off", "near"].some((rule) => facts.get(each)[rule]))) show(other);
    show(field);
    keepMarks(signing.isReading(field));
    signatures.forEach(show);
    if (subject.startsWith("day:") && facts.get(field).unit === "V") doubtVolts(subject);
    dispatchEvent(new Event("records-changed"));
  }

  /* A field that is left as it was found keeps the time at which it was written. */
  function leave(field) {
    if (!store.standing.isTyped(field)) return; /* nothing was written */
    const [subject, check] = [subjectOf(field), field.name];
    const first = store.standing.left(field, store.read(subject, check));
    if (!signing.isReading(field)) return;
    if (first) store.write(subject, check, first);
    else doubtSigned(subject);
    keepMarks();
    signatures.forEach(show); /* not what is said at the field: a button there may be under the thumb */
    dispatchEvent(new Event("records-changed"));
  }

  /* The bar of the boxes comes back late, so that it is never under the finger that leaves a field for a button. */
  function stepAside() {
    document.body.classList.add("writes");
    setTimeout(() => document.body.classList.remove("writes"), ASIDE_MS);
  }

  function tell(isKept) {
    told.textContent = isKept && !store.hasUnkept() ? KEPT : LOST;
    told.classList.toggle("lost", told.textContent === LOST);
  }

  function startWriter() {
    const writer = document.getElementById("writer");
    const row = writer.parentElement;
    row.hidden = false;
    const ask = () => row.classList.toggle("missing", !writer.value.trim());
    writer.value = store.writer();
    writer.addEventListener("input", () => {
      tell(store.setWriter(writer.value.trim()));
      ask();
      signatures.forEach(show);
    });
    ask();
  }

  const grow = () => {
    for (const note of document.querySelectorAll(".form textarea")) {
      note.style.height = "auto";
      note.style.height = `${note.scrollHeight + 4}px`;
    }
  };

  for (const date of fields.filter((field) => kindOf(field) === "date")) {
    date.value = store.stamp().slice(0, 10);
    date.addEventListener("change", () => {
      if (!date.value) date.value = store.stamp().slice(0, 10);
      fill(true);
    });
  }
  tell(store.isKeeping());
  startWriter();
  fill(true);
  passOver();
  for (const field of records) {
    field.addEventListener("input", () => keep(field));
    field.addEventListener("blur", () => (stepAside(), leave(field)));
  }
  addEventListener("storage", (event) => store.isEntry(event.key) && fill(false));
  addEventListener("records-taken-in", () => {
    fill(true);
    passOver();
  });
  addEventListener("pagehide", () => records.includes(document.activeElement) && leave(document.activeElement));
  addEventListener("beforeprint", grow);
  addEventListener("beforeunload", (event) => store.hasUnkept() && event.preventDefault());
})();
