/* What a signature on a page stands against: readings that are missing or not good, and who made them. */
window.records.signatures = (page) => {
  "use strict";

  const { records, facts, subjectOf, judged, read } = page;
  const BAD = ["out", "ask", "odd", "open"];
  const kindOf = (field) => facts.get(field).kind;
  const MINUTE_MS = 60000;
  const isGiven = (field) => (kindOf(field) === "tick" ? field.checked : field.value.trim() !== "");
  const nameOf = (field) => (kindOf(field) === "tick" ? tickName(field) : field.labels[0].lastChild.textContent)
    .split(",")[0].trim();

  /* The words of a tick, without the word for a hold or a witness before them. */
  function tickName(field) {
    const words = field.labels[0].querySelector("span");
    const held = words.childNodes.length > 1 ? words.firstChild.textContent : "";
    return (/\.\s*$/.test(held) ? words.textContent.slice(held.length) : words.textContent).split(/[.:]/)[0];
  }

  /* The fields before a signature that it answers for: of its own row, for a hold all so far of the same box. */
  function before(field) {
    const [form, subject] = [field.closest(".form"), subjectOf(field)];
    const { hold, answers } = facts.get(field);
    const isHere = (each) => (answers ? subjectOf(each) === subject : form.contains(each)) && !each.dataset.subject;
    return hold && !answers ? [] : records.slice(0, records.indexOf(field)).filter(isHere);
  }

  const isReading = (field) => ["number", "soil", "text"].includes(kindOf(field));

  /* What a signature covers and is not there, a hold before it too; for a hold also what cannot be judged yet. */
  function lacking(field) {
    const { hold } = facts.get(field);
    if (!hold && !field.name.startsWith("sign-")) return "";
    const some = before(field).filter((each) => {
      const isCovered = isReading(each) || (!hold && (kindOf(each) === "tick" || facts.get(each).hold));
      return isCovered && (!isGiven(each) || (hold && isReading(each) && judged(each).state === "open"));
    });
    return [...new Set([...passed(field), ...some.map(nameOf)])].join(", ");
  }

  /* The holds of the rows before that nobody has signed, for who signs that the work went on. */
  function passed(field) {
    const [form, subject] = [field.closest(".form"), subjectOf(field)];
    const isPassed = (each) => kindOf(each) === "sign" && facts.get(each).hold && subjectOf(each) === subject
      && !form.contains(each) && !isGiven(each);
    const earlier = records.slice(0, records.indexOf(field));
    const held = (each) => each.labels[0].lastChild.textContent.trim().replace(", ", ": ");
    return facts.get(field).hold ? [] : earlier.filter(isPassed).map(held);
  }

  /* The readings that a signature covers and that are not good, each with its limits. */
  function failing(field) {
    const told = before(field).filter(isReading).map((each) => {
      const { state, low, high } = judged(each);
      const name = nameOf(each);
      if (["ask", "odd"].includes(state)) return `${name} is in doubt`;
      if (state !== "out") return "";
      if (low && high) return `${name} is outside ${low} to ${high}`;
      if (low) return `${name} is below ${low}`;
      return high ? `${name} is above ${high}` : `${name} does not pass`;
    });
    return told.filter(Boolean).join(", ");
  }

  /* Whether one was written after the other: to the millisecond on one device, else in a later minute. */
  function isLater(one, other) {
    if (one.at && other.at) return one.at > other.at;
    const minute = ({ when }) => Math.floor(Date.parse(when) / MINUTE_MS);
    return minute(one) > minute(other);
  }

  /* Whether what was signed over has changed since: a reading was written after it, or what was not good is now good by
     another soil temperature. The soil is read anew with each loop, and volts of a day after its signature. */
  function isOutdated(field) {
    const signed = read(subjectOf(field), field.name);
    if (!signed || !signed.value) return false;
    const isOfDay = subjectOf(field).startsWith("day:");
    const counts = (each) => kindOf(each) === "tick" || (!isOfDay && isReading(each) && kindOf(each) !== "soil");
    const isAfter = (each) => {
      const entry = counts(each) && read(subjectOf(each), each.name);
      return Boolean(entry) && entry.value !== "" && isLater(entry, signed);
    };
    return before(field).some(isAfter) || (["out", "stale"].includes(signed.mark) && !failing(field));
  }

  /* Whether what stood in a field was there when something that covers it was signed. */
  function wasSigned(field, entry) {
    const isOver = (each) => {
      const signed = kindOf(each) === "sign" && read(subjectOf(each), each.name);
      return Boolean(signed) && signed.value !== "" && !isLater(entry, signed) && before(each).includes(field);
    };
    return records.some(isOver);
  }

  /* How a signature stands: over what is not good, or over what has changed since. */
  const markOf = (field) => (failing(field) ? "out" : isOutdated(field) ? "stale" : "");

  /* What is not good and what is not signed at the same box, for a person who signs that its stations were operated. */
  function stillOpen(field) {
    const subject = subjectOf(field);
    const own = before(field);
    const here = facts.get(field).later ? records.filter((each) => subjectOf(each) === subject && each !== field) : [];
    const isBad = (each) => isReading(each) && !own.includes(each) && BAD.includes(judged(each).state);
    const isSigned = (each) => isGiven(each) && markOf(each) !== "stale";
    const isUnsigned = (each) => kindOf(each) === "sign" && !facts.get(each).later && !isSigned(each);
    const signName = (each) => (facts.get(each).hold ? nameOf(each) : each.closest(".form").getAttribute("aria-label"));
    const told = (some, name) => [...new Set(some.map(name))].join(", ");
    return { bad: told(here.filter(isBad), nameOf), unsigned: told(here.filter(isUnsigned), signName) };
  }

  /* What a hold stops, as its label says after the word for a hold. */
  function stopOf(field) {
    const held = field.labels[0].querySelector("strong");
    const stop = facts.get(field).hold && held && /,\s+(\S.*)$/.exec(held.textContent.trim());
    return stop ? ` ${stop[1][0].toUpperCase()}${stop[1].slice(1)}` : "";
  }

  /* Whether who signs a hold signed the row too, or wrote a reading that the hold passes. */
  function isOwn(field) {
    const bare = (name) => name.trim().replace(/\s+/g, " ").toLowerCase();
    const nameIn = (each) => {
      if (kindOf(each) === "sign") return facts.get(each).hold || !field.closest(".form").contains(each) ? "" : each.value;
      const entry = kindOf(each) === "number" && read(subjectOf(each), each.name);
      return entry && entry.value ? entry.by : "";
    };
    return facts.get(field).answers && before(field).some((each) => nameIn(each) && bare(nameIn(each)) === bare(field.value));
  }

  return { isReading, wasSigned, lacking, failing, isOutdated, markOf, stillOpen, stopOf, isOwn };
};
