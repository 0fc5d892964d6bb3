/* What was written on this device for this handbook, an item for each value: two open pages never undo each other.
   Nothing is sent anywhere. Where the device keeps nothing, the page itself holds it until it is closed. */
window.records = (() => {
  "use strict";

  const facts = document.querySelector('meta[name="handbook"]');
  const { revision = "", fingerprint = "" } = facts ? facts.dataset : {};
  const number = facts ? facts.content : "";
  const WRITER = JSON.stringify(["slackloop", "writer"]);
  const SAVED = JSON.stringify(["slackloop", number, revision, "saved"]);
  const unkept = new Map();
  let writerHere = ""; /* for a device that keeps nothing */
  const inOrder = new Intl.Collator("en", { numeric: true }).compare;

  const keyOf = (subject, check) => JSON.stringify(["slackloop", number, revision, subject, check]);

  function stored(key) {
    try {
      return localStorage.getItem(key);
    } catch {
      return null;
    }
  }

  function set(key, text) {
    try {
      localStorage.setItem(key, text);
      return true;
    } catch {
      return false;
    }
  }

  function parsed(key, text) {
    try {
      const entry = JSON.parse(text);
      if (entry && typeof entry.value === "string" && typeof entry.when === "string") return entry;
    } catch {
      /* Put aside below, as it may be all that somebody has. */
    }
    set(`${key} put aside`, text);
    return undefined;
  }

  function read(subject, check) {
    const key = keyOf(subject, check);
    if (unkept.has(key)) return unkept.get(key);
    const text = stored(key);
    return text === null ? undefined : parsed(key, text);
  }

  /* Whether the device keeps it; the page holds it otherwise. */
  function write(subject, check, entry) {
    const key = keyOf(subject, check);
    if (set(key, JSON.stringify(entry))) {
      unkept.delete(key);
      return true;
    }
    unkept.set(key, entry);
    return false;
  }

  function remove(subject, check) {
    const key = keyOf(subject, check);
    unkept.delete(key);
    try {
      localStorage.removeItem(key);
    } catch {
      /* Nothing is there. */
    }
  }

  /* The parts of a key that is that of an entry of this handbook, whatever its revision. */
  function partsOf(key) {
    if (!key.startsWith(JSON.stringify(["slackloop", number]).slice(0, -1))) return undefined;
    try {
      const parts = JSON.parse(key);
      return parts.length === 5 && parts[1] === number ? parts : undefined;
    } catch {
      return undefined;
    }
  }

  function keys() {
    try {
      return Object.keys(localStorage);
    } catch {
      return [];
    }
  }

  /* Every entry of a revision, by box and by time. */
  function all(wanted = revision) {
    const found = new Map();
    for (const key of keys()) {
      const parts = partsOf(key);
      const entry = parts && parts[2] === wanted ? parsed(key, stored(key)) : undefined;
      if (entry) found.set(key, { subject: parts[3], check: parts[4], ...entry });
    }
    for (const [key, entry] of wanted === revision ? unkept : []) {
      const parts = partsOf(key);
      found.set(key, { subject: parts[3], check: parts[4], ...entry });
    }
    const told = (one) => Date.parse(one.when) || 0;
    const order = (a, b) => inOrder(a.subject, b.subject) || told(a) - told(b) || (a.check < b.check ? -1 : 1);
    return [...found.values()].sort(order);
  }

  const otherRevisions = () =>
    [...new Set(keys().map(partsOf).filter((parts) => parts && parts[2] !== revision).map((parts) => parts[2]))].sort();

  /* The time of this place with its distance from UTC, as 2026-03-09T14:05:00+01:00. */
  function stamp(at = new Date()) {
    const two = (part) => String(part).padStart(2, "0");
    const east = -at.getTimezoneOffset();
    const zone = `${east < 0 ? "-" : "+"}${two(Math.floor(Math.abs(east) / 60))}:${two(Math.abs(east) % 60)}`;
    const time = [at.getHours(), at.getMinutes(), at.getSeconds()].map(two).join(":");
    return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}T${time}${zone}`;
  }

  /* The time for a file, and the same to the millisecond to know what was saved since. */
  const now = () => ({ when: stamp(), at: Date.now() });
  const isSaved = (entry) => (entry.at || 0) <= Number(stored(SAVED) || 0);

  return {
    handbook: { number, revision, fingerprint },
    read,
    write,
    remove,
    all,
    otherRevisions,
    stamp,
    now,
    isSaved,
    isKeeping: () => set(`${SAVED} try`, "1") && (localStorage.removeItem(`${SAVED} try`), true),
    isEntry: (key) => key === null || Boolean(partsOf(key)),
    writer: () => stored(WRITER) || writerHere,
    setWriter: (name) => ((writerHere = name), set(WRITER, name)),
    setSaved: () => set(SAVED, String(Date.now())),
    hasUnkept: () => unkept.size > 0,
  };
})();
