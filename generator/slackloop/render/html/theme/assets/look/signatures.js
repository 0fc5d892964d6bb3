/* What a signature on a page stands against: readings that are missing or not good, and who made them. */
window.records.signatures = (page) => {
  "use strict";

  const { records, facts, subjectOf, judged, read } = page;
  const kindOf = (field) => facts.get(field).kind;
  const isGiven = (field) => (kindOf(field) === "tick" ? field.checked : field.value.trim() !== "");
  const nameOf = (field) =>
    kindOf(field) === "tick" ? field.name : field.labels[0].lastChild.textContent.split(",")[0].trim();

  /* The fields before a signature that it answers for: of its own row, for a hold all so far of the same box. */
  function before(field) {
    const [form, subject] = [field.closest(".form"), subjectOf(field)];
    const { hold, answers } = facts.get(field);
    const isHere = (each) => (answers ? subjectOf(each) === subject : form.contains(each) && !each.dataset.subject);
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
    return [...new Set(some.map(nameOf))].join(", ");
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

  return { isReading, lacking, failing, stopOf, isOwn };
};
