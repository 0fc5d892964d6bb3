/* What was typed in a field as a number with its unit, and whether it is inside the limits that the field has. */
window.records.reading = (() => {
  "use strict";

  const BEYOND = /^([o0]\.?l\.?|∞)$/i; /* what a meter shows instead of a number above its range */
  const THOUSANDS = ["kΩ", "mΩ"];
  const WARMEST_C = 60;
  const COLDEST_C = -40; /* soil that nobody has dug in: it was read in another unit */

  /* A number as digits with a point: a comma is one too, and marks between thousands are left out. */
  function digits(text) {
    const joined = text.replace(/(?<=\d)[\s'’](?=\d{3}(?!\d))/gu, "").trim();
    const last = Math.max(joined.lastIndexOf("."), joined.lastIndexOf(","));
    if (last < 0) return /^\d+$/.test(joined) ? joined : undefined;
    const mark = joined[last];
    const other = mark === "." ? "," : ".";
    const grouped = (whole, by) => new RegExp(`^\\d{1,3}(\\${by}\\d{3})+$`).test(whole);
    const [before, after] = [joined.slice(0, last), joined.slice(last + 1)];
    if (before.includes(mark)) return grouped(joined, mark) ? joined.replaceAll(mark, "") : undefined;
    if (before.includes(other) && !grouped(before, other)) return undefined;
    const whole = before.replaceAll(other, "") || "0";
    if (!/^\d+$/.test(whole) || !/^\d*$/.test(after)) return undefined;
    return after ? `${whole}.${after}` : whole;
  }

  function parsed(text) {
    const match = /^([>≥]?)\s*([+\-−]?)\s*((?:[.,]\d|\d)(?:[\d.,]|[\s'’](?=\d))*)\s*(.*)$/u.exec(text.trim());
    const found = match && digits(match[3]);
    if (!found) return undefined;
    const signed = `${match[2] && match[2] !== "+" ? "-" : ""}${found}`;
    const over = match[1] ? ">" : "";
    return { text: `${over}${signed}`, number: Number(signed), over, unit: match[4].trim() };
  }

  /* The unit that was typed, of the same kind as that of the field; its name as it is written. */
  function unitOf(typed, own) {
    const table = window.unitTable || {};
    const word = typed.replaceAll("\u2126", "Ω").replace(/\.$/, "");
    const kin = Object.keys(table).filter((name) => table[own] && table[name][0] === table[own][0]);
    const alike = kin.filter((name) => name.toLowerCase() === word.toLowerCase());
    const whole = [word, `${word}${own.slice(-1)}`].find((name) => kin.includes(name));
    const found = whole || (alike.length === 1 ? alike[0] : "");
    return found && { name: found, is: table[found] };
  }

  const converted = (number, [, factor, offset], [, ownFactor, ownOffset]) =>
    Number(((number * factor + offset - ownOffset) / ownFactor).toPrecision(9));

  /* The same steps in the same order as LoopRule.at, so that the limits are the same to the last digit. */
  function loopLimits(rule, celsius) {
    const at = (ohms) => ohms * (1 + rule.alpha * (celsius - rule.reference));
    const error = (ohms) => rule.fraction * ohms + rule.ohms;
    const expected = at(rule.expected);
    const high = expected * (1 + rule.tolerance);
    let low = expected * (1 - rule.tolerance);
    if (rule.least !== null) low = Math.min(low, at(rule.least));
    return { expected, low: Math.max(low - error(low), 0), high: high + error(high) };
  }

  /* A limit as text, rounded to its stricter side. */
  function strict(number, up) {
    const places = Math.abs(number) < 100 ? 100 : Math.abs(number) < 1000 ? 10 : 1;
    return String((up ? Math.ceil : Math.floor)(number * places) / places);
  }

  /* The limits of a value as texts, for who signs over it. */
  const boundsOf = (least, most, unit) => ({
    low: least === undefined ? "" : `${strict(least, true)} ${unit}`,
    high: most === undefined ? "" : `${strict(most, false)} ${unit}`,
  });

  /* Whether the number would be inside its two limits in a unit that a meter shows too. */
  function slipped(number, least, most) {
    for (const name of least === undefined || most === undefined ? [] : THOUSANDS) {
      const meant = between(number, name, "Ω");
      if (meant >= least && meant <= most) return { unit: name, meant: String(meant) };
    }
    return undefined;
  }

  /* The same steps in the same order as records.judgement.compared: the first reading taken to the soil of this one. */
  function comparedLimits(rule, before, soils, number) {
    const at = (celsius) => 1 + rule.alpha * (celsius - rule.reference);
    const error = (ohms) => rule.fraction * ohms + rule.ohms;
    const same = soils.map(([then, now]) => (before * at(now)) / at(then));
    const [low, high] = [Math.min(...same), Math.max(...same)];
    return { low: Math.max(low - error(low) - error(number), 0), high: high + error(high) + error(number) };
  }

  /* A reading that passes, compared with the first reading of the same pair. */
  function againstFirst(passed, found, field, { before, soils }) {
    const limits = comparedLimits(field.loop, before, soils, found.number);
    const [low, high] = [strict(limits.low, true), strict(limits.high, false)];
    const isInside = found.number >= Number(low) && found.number <= Number(high);
    const allowed = `By the first reading: ${low} to ${high} Ω.`;
    if (isInside) return { ...passed, message: allowed };
    return { ...passed, state: "out", message: `Outside. ${allowed}`, low: `${low} Ω`, high: `${high} Ω` };
  }

  /* As OffLimit.least. */
  function leastOff({ below, unread, floor }, controller) {
    return Math.max(controller === undefined ? unread : Number((controller - below).toFixed(9)), floor);
  }

  /* As MeterError.most_after. */
  const mostAfter = (reading, [fraction, volts]) =>
    Number((((reading + volts) / (1 - fraction)) * (1 + fraction) + volts).toFixed(9));

  /* Volts with all outputs off, by those at the controller on the same day, where these are in their own limits. */
  function judgedOff(found, field, { controller, isGood, isDoubted }) {
    const least = leastOff(field.off, controller);
    const judged = judgedNumber(found, { ...field, off: undefined, least });
    const limit = `${strict(least, true)} ${field.unit}`;
    const read = controller === undefined ? "" : `${controller} ${field.unit}`;
    const compared = `By ${read}: ${limit} or more.`;
    const alone = `Volts at the controller not written yet: ${limit} or more.`;
    const doubted = `Volts at the controller in doubt: ${limit} or more.`;
    const told = read ? compared : isDoubted ? doubted : alone;
    const higher = `Is it ${found.text} ${field.unit}? The controller has ${read}.`;
    const isAbove = read && field.off.meter && found.number > mostAfter(controller, field.off.meter);
    if (judged.state === "in" && isAbove) return { ...judged, state: "ask", message: higher };
    const unsure = `${compared} But ${read} at the controller is not good.`;
    if (judged.state === "in" && read && isGood === false) return { ...judged, state: "ask", message: unsure };
    if (judged.state === "in") return { ...judged, message: told };
    return judged.state === "out" ? { ...judged, message: `Outside. ${told}` } : judged;
  }

  function judgedNumber(found, field, soil, against = {}) {
    if (field.off) return judgedOff(found, field, against);
    const number = found.number;
    let { least, most } = field;
    const kept = { value: found.text, unit: field.unit };
    if (field.loop) {
      if (!soil) return { ...kept, state: "open", message: "Write the soil temperature too. The limits go by it." };
      const limits = loopLimits(field.loop, soil.celsius);
      [least, most] = [Number(strict(limits.low, true)), Number(strict(limits.high, false))]; /* as they are shown */
    }
    const untrue = number < 0 ? "This is less than nothing." : "A loop never reads 0. Were the probes on the pair?";
    if (number < 0 || (field.loop && number === 0)) return { ...kept, state: "odd", message: untrue };
    if (least === undefined && most === undefined) return { ...kept, state: "" };
    const isInside = !(number < least) && !(number > most);
    const doubtful = number < field.lowest || (number > field.highest && !found.over);
    if (isInside && doubtful) return { ...kept, state: "ask", message: `Is it ${found.text} ${field.unit}?` };
    const aboveOff = `Is it ${found.text} ${field.unit}? With outputs off it is ${against.outputsOff} ${field.unit}.`;
    const isAbove = against.meter && number > mostAfter(against.outputsOff, against.meter);
    if (isInside && isAbove) return { ...kept, state: "ask", message: aboveOff };
    const passed = { ...kept, state: "in", message: field.loop ? soilText(field, soil) : "" };
    if (isInside && against.before !== undefined) return againstFirst(passed, found, field, against);
    if (isInside) return passed;
    const slip = field.unit === "Ω" && slipped(number, least, most);
    const question = slip && `Read in ${slip.unit}? Is it ${slip.meant} Ω?`;
    if (slip) return { ...kept, state: "ask", meant: slip.meant, message: question };
    const isLow = number < least;
    const limit = strict(isLow ? least : most, isLow);
    const read = found.typed ? `${found.text} ${field.unit}, ` : "";
    const above = `Outside: ${read}above ${limit} ${field.unit}.`;
    const below = `Outside: ${read}below ${limit} ${field.unit}.`;
    const higher = `This does not show ${limit} ${field.unit}. Use a higher range.`;
    const message = !isLow ? above : found.over ? higher : below;
    const bounds = isLow && found.over ? {} : boundsOf(least, most, field.unit);
    return { ...kept, state: "out", message, ...bounds };
  }

  function soilText(field, soil) {
    const { low, high } = loopLimits(field.loop, soil.celsius);
    return `At ${soil.shown}: ${strict(low, true)} to ${strict(high, false)} Ω.`;
  }

  function between(number, from, to) {
    const table = window.unitTable || {};
    return table[from] && table[to] ? converted(number, table[from], table[to]) : number;
  }

  function judgedSoil(found, field) {
    const celsius = between(found.number, field.unit, "°C");
    const value = field.unit === "°C" ? found.text : String(Number(celsius.toFixed(2)));
    const kept = { value, unit: "degC", celsius: Number(value), shown: `${found.text} ${field.unit}` };
    if (celsius >= COLDEST_C && celsius <= WARMEST_C) return { ...kept, state: "" };
    return { ...kept, state: "ask", message: `Is the soil at ${kept.shown}? Read it again.` };
  }

  function judgedPlace(text) {
    const points = /^([+-]?\d+(?:\.\d+)?)\s*[,;\s]\s*([+-]?\d+(?:\.\d+)?)$/;
    const commas = /^([+-]?\d+(?:[.,]\d+)?)(?:\s*;\s*|,?\s+)([+-]?\d+(?:[.,]\d+)?)$/;
    const match = points.exec(text.trim()) || commas.exec(text.trim());
    if (!match) return { value: text, unit: "", state: "odd", message: "Write two numbers: x, y." };
    return { value: match.slice(1).map((part) => part.replace(",", ".")).join(","), unit: "", state: "" };
  }

  /* What to keep of a typed text, whether it is inside the limits, and what to say or ask. ``against`` is what else it is
     compared with: the volts at the controller, or the first reading with the soils of both. */
  function judged(text, field, soil, against) {
    const trimmed = text.trim();
    const plain = { value: trimmed, unit: field.unit || "", state: "" };
    if (!trimmed) return { ...plain, message: field.loop && soil ? soilText(field, soil) : "" };
    if (field.kind === "place") return judgedPlace(trimmed);
    if (field.kind === "text" && field.expected) {
      const same = trimmed.toLowerCase() === field.expected.trim().toLowerCase();
      return same ? { ...plain, state: "in" } : { ...plain, state: "out", message: `The plan has ${field.expected}.` };
    }
    if (field.kind !== "number" && field.kind !== "soil") return plain;
    const found = parsed(trimmed);
    const isOver = BEYOND.test(trimmed) || (found && found.over);
    if (isOver && field.loop) {
      return { ...plain, state: "out", message: "Open: the pair is broken, or the short is not on." };
    }
    const hasLeastOnly = field.kind === "number" && field.least !== undefined && field.most === undefined;
    if (isOver && !found && hasLeastOnly) {
      return { ...plain, state: "odd", message: "Write > and the most that the meter can show, as >1000." };
    }
    if (!found || (isOver && !hasLeastOnly)) return { ...plain, state: "odd", message: "This is not a number." };
    if (found.unit) {
      const typed = unitOf(found.unit, field.unit);
      const own = (window.unitTable || {})[field.unit];
      const strange = `“${found.unit}” is no unit of this field. It is in ${field.unit}.`;
      if (!typed) return { ...plain, state: "odd", message: strange };
      const number = converted(found.number, typed.is, own);
      const meant = `${found.over}${number}`;
      if (typed.is[1] !== own[1] || typed.is[2] !== own[2]) {
        const same = field.kind === "number" && judgedNumber({ ...found, text: meant, number, typed }, field, soil, against);
        if (same && ["out", "odd"].includes(same.state)) return { ...same, value: found.text, unit: typed.name };
        const message = `You typed ${found.unit}: is it ${meant} ${field.unit}?`;
        return { value: found.text, unit: typed.name, state: "ask", meant, message };
      }
    }
    return field.kind === "soil" ? judgedSoil(found, field) : judgedNumber(found, field, soil, against);
  }

  return { parsed, judged, loopLimits, between };
})();
