/* The file of records: rows of box, check, value, unit, by, when and note, written here and read from other devices. */
window.records.file = (() => {
  "use strict";

  const store = window.records;
  const COLUMNS = ["box", "check", "value", "unit", "by", "when", "note"];
  const HANDBOOK = "HANDBOOK";
  const ZONED = /T\d\d:\d\d(:\d\d(\.\d+)?)?(Z|[+-]\d\d:?\d\d)$/;

  /* A text that a spreadsheet would work out is made plain; a number stays as it is. */
  function guarded(text) {
    return /^[=+\-@\t\r]/.test(text) && !/^[+-]?\d+(\.\d+)?$/.test(text) ? `'${text}` : text;
  }

  const unguarded = (text) => (/^'[=+\-@\t\r]/.test(text) ? text.slice(1) : text);

  function cell(text) {
    const safe = guarded(text);
    return /[",;\t\r\n]|^\s|\s$/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
  }

  const line = (values) => `${values.map((value) => cell(String(value ?? ""))).join(",")}\r\n`;

  /* All entries, each after the earlier ones of its field that were not good; those written on another copy of the
     handbook follow under a row that names it. */
  function text(entries, by, when) {
    const own = store.handbook.fingerprint;
    const before = ({ subject, check, earlier = [] }) => earlier.map((each) => ({ ...each, subject, check }));
    const every = entries.flatMap((entry) => [...before(entry), entry]);
    const copies = [...new Set([own, ...every.map((entry) => entry.handbook || own)])];
    let made = line(COLUMNS);
    for (const copy of copies) {
      const some = every.filter((entry) => (entry.handbook || own) === copy);
      if (!some.length && copies.length > 1) continue;
      made += line(["job", HANDBOOK, copy, "", by, when, ""]);
      for (const { subject, check, value, unit, by: who, when: then, note } of some) {
        made += line([subject, check, value, unit, who || by, then, note]);
      }
    }
    return made;
  }

  function name(by, when) {
    const safe = (part) => part.normalize("NFKC").replace(/[^\p{L}\p{N}.]+/gu, "-").replace(/^[-.]+|[-.]+$/g, "");
    const { number, revision } = store.handbook;
    const minute = `${when.slice(0, 10)}-${when.slice(11, 16).replace(":", "")}`;
    return `${[`${safe(number)}-${safe(revision)}`, safe(by), minute].filter(Boolean).join("_")}.csv`;
  }

  /* The cells of a text, quoted ones with line breaks among them; each row knows its number. */
  function rows(whole, mark) {
    const found = [];
    let row = [];
    let value = "";
    let quoted = false;
    const close = () => (row.push(value), (value = ""));
    const end = () => (close(), found.push(row), (row = []));
    for (let at = 0; at < whole.length; at += 1) {
      const sign = whole[at];
      if (quoted) {
        if (sign !== '"') value += sign;
        else if (whole[at + 1] === '"') (value += '"'), (at += 1);
        else quoted = false;
      } else if (sign === '"' && value === "") quoted = true;
      else if (sign === mark) close();
      else if (sign === "\n") end();
      else if (sign !== "\r" || whole[at + 1] !== "\n") value += sign;
    }
    if (value || row.length) end();
    return found;
  }

  /* The good rows of a file, the numbers of the others, and whether all were written on this copy of the handbook. */
  function parsed(whole) {
    const bare = whole.replace(/^\uFEFF/, "");
    const head = bare.split(/\r?\n/, 1)[0];
    const parts = (mark) => head.split(mark).length;
    const mark = [",", ";", "\t"].reduce((best, one) => (parts(one) > parts(best) ? one : best));
    const [names = [], ...others] = rows(bare, mark);
    const places = COLUMNS.map((column) => names.map((each) => each.trim().toLowerCase()).indexOf(column));
    if (places.slice(0, 6).some((place) => place < 0)) return undefined;
    const entries = [];
    const bad = [];
    let handbook = "";
    others.forEach((row, number) => {
      if (row.every((value) => !value.trim())) return;
      const [subject, check, value, unit, by, when, note] = places.map((place) => unguarded(row[place] ?? ""));
      if (!subject || !check || !ZONED.test(when) || Number.isNaN(Date.parse(when))) bad.push(number + 2);
      else if (check === HANDBOOK) handbook = value;
      else entries.push({ subject, check, value, unit, by, when, note, handbook, taken: true });
    });
    return { entries, bad, isOurs: entries.every((entry) => entry.handbook === store.handbook.fingerprint) };
  }

  /* The later entry wins; what is here already and as late stays. The other one stays before it, as it may be a reading
     that was not good: the page that judges it may not be this one. */
  function merge(entries) {
    const done = { fresh: 0, older: 0, lost: 0 };
    for (const { subject, check, ...entry } of entries) {
      const here = store.read(subject, check);
      const isNewer = !here || Date.parse(here.when) < Date.parse(entry.when);
      const [last, before] = isNewer ? [entry, here] : [here, entry];
      const isSame = !isNewer && store.standing.isSame(last, before);
      const earlier = store.standing.joined(last.earlier || [], before && !isSame ? store.standing.alone(before) : []);
      const isKept = isSame || store.write(subject, check, earlier.length ? { ...last, earlier } : last);
      if (!isKept) done.lost += 1;
      else if (isNewer) done.fresh += 1;
      else done.older += 1;
    }
    return done;
  }

  return { text, name, parsed, merge };
})();
