/* What was left standing in a field before it was written over: a reading that was not good stays, with its own time. */
window.records.standing = (() => {
  "use strict";

  const NOT_GOOD = ["out", "open", "stale"];
  const stood = new Map(); /* by field, what stood there when typing in it began */

  const isAlike = (one, other) => one.value === other.value && one.unit === other.unit;
  const isSame = (one, other) => isAlike(one, other) && one.when === other.when;

  /* Earlier values in the order of their times, each once. */
  function joined(...lists) {
    const found = new Map(lists.flat().map((each) => [JSON.stringify([each.when, each.value, each.unit]), each]));
    return [...found.values()].sort((a, b) => Date.parse(a.when) - Date.parse(b.when));
  }

  /* An entry as one of the earlier ones of another. */
  function alone({ earlier = [], mark, taken, emptied, ...entry }) {
    return [...earlier, entry];
  }

  /* What stays of what stood in a field when typing in it began: what was not good or was signed for, and a signature that
     no longer holds. It was left standing, while what is typed key by key was not. */
  function kept(field, old, wasSigned) {
    if (!stood.has(field)) stood.set(field, old);
    const first = stood.get(field);
    if (!first) return [];
    const stays = first.value !== "" && (NOT_GOOD.includes(first.mark) || wasSigned(first));
    return stays ? alone(first) : first.earlier || [];
  }

  /* What to keep when a field is left: what stood there before, where the same is there again. */
  function left(field, now) {
    const first = stood.get(field);
    stood.delete(field);
    return first && now && first.value !== "" && isAlike(first, now) ? first : undefined;
  }

  return { isTyped: (field) => stood.has(field), of: (field) => stood.get(field), kept, left, joined, alone, isSame };
})();
