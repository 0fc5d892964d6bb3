/* What a reading of a page is judged by besides its own limits: soil, the first reading, volts of the same day. */
window.records.compared = (page) => {
  "use strict";

  const { records, facts, subjectOf, stamp, read } = page;
  const { judged, parsed } = window.records.reading;
  const kindOf = (field) => facts.get(field).kind;
  const dayOf = (entry) => (entry && entry.value ? entry.when : stamp()).slice(0, 10);

  function soilOf(field) {
    const subject = subjectOf(field);
    const soil = records.find((each) => kindOf(each) === "soil" && subjectOf(each) === subject);
    const found = soil && judged(soil.value, facts.get(soil));
    return found && found.celsius !== undefined ? found : undefined;
  }

  /* The volts at the controller on the day of a reading, where this device knows them. */
  function controllerOf(field, { check }) {
    const entry = read(`day:${dayOf(read(subjectOf(field), field.name))}`, check);
    const found = entry && entry.unit === "V" ? parsed(entry.value) : undefined;
    const { lowest, highest, least } = facts.get(records.find((each) => each.name === check));
    const isLikely = found && !found.over && !(found.number < lowest) && !(found.number > highest);
    if (!isLikely) return { isDoubted: Boolean(entry && entry.value) };
    return { controller: found.number, isGood: !(found.number < least) };
  }

  /* The volts at the same box with all outputs off, read on the same day. */
  function outputsOffOf(field, [check, ...meter]) {
    const subject = subjectOf(field);
    const off = records.find((each) => each.name === check && subjectOf(each) === subject);
    const entry = off && read(subject, check);
    const isSameDay = entry && entry.value && dayOf(entry) === dayOf(read(subject, field.name));
    const found = isSameDay && entry.unit === "V" ? parsed(entry.value) : undefined;
    const { lowest, highest } = off ? facts.get(off) : {};
    const isLikely = found && !found.over && !(found.number < lowest) && !(found.number > highest);
    return isLikely ? { outputsOff: found.number, meter } : {};
  }

  /* The first reading of the same pair, if it passes here, how far this one may be from it, and the soils of the first and
     of this one: any of the job where the temperature that is kept was read on a later day than the first reading. */
  function firstOf(field, [check, coldest, hottest, apart]) {
    const subject = subjectOf(field);
    const [first, soil] = [check, "SOIL-C"].map((name) =>
      records.find((each) => each.name === name && subjectOf(each) === subject),
    );
    const found = first && of(first);
    const [now, then] = [field, first].map((each) => each && read(subject, each.name));
    const isBefore = !now || !now.value || !then || Date.parse(then.when) <= Date.parse(now.when);
    if (!found || found.state !== "in" || !isBefore) return {};
    const here = soilOf(field);
    const isKnown = dayOf(read(subject, soil.name)) <= dayOf(read(subject, check));
    const ends = [[hottest, coldest], [coldest, hottest]];
    return { before: Number(found.value), soils: isKnown ? [[here.celsius, here.celsius]] : ends, apart };
  }

  /* How what is typed in a field stands. */
  function of(field) {
    const known = facts.get(field);
    const nearest = (near) => (known.loop ? firstOf(field, near) : outputsOffOf(field, near));
    const against = known.off ? controllerOf(field, known.off) : known.near ? nearest(known.near) : {};
    return judged(field.value, known, known.loop && soilOf(field), against);
  }

  return { of, dayOf };
};
