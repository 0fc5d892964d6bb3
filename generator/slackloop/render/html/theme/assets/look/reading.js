/* What was typed in a field as a number with its unit, and whether it is inside the limits that the field has. */
window.records.reading = (() => {
  "use strict";

  const BEYOND = /^([o0]\.?l\.?|∞)$/i; /* what a meter shows instead of a number above its range */
  const THOUSANDS = ["kΩ", "mΩ"];
  const ROUNDED_K = 0.01; /* as records.judgement has it, and so the next */
  const LOST_OHMS = 1e-9;
  const FRACTIONS = { "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8" };
  const TAPE = new RegExp(
    [
      /^(?:(\d{1,6}) ?(?:feet|foot|ft|'(?!')))?[ -]*/,
      /(?:(\d{1,6}(?:[.,]\d+)?)(?![\d/]))?[ -]*(?:(\d{1,3})\/(\d{1,3}))? ?(inches|inch|in|"|'')?$/,
    ].map((part) => part.source).join(""),
    "i",
  );

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

  /* Inches as a tape is read, where feet, a fraction or a mark is in them: 1 ft 6 in, 1' 6", 17 1/2 in. */
  function tapeInches(text) {
    const printed = text.replace(/[½¼¾⅛⅜⅝⅞]/gu, (sign) => ` ${FRACTIONS[sign]}`);
    const plain = printed.replace(/[′’]/gu, "'").replace(/[″“”]/gu, '"');
    const [, feet, whole, top, bottom, unit] = TAPE.exec(plain.trim().replace(/\s+/gu, " ")) || [];
    const isInches = unit !== undefined && (whole !== undefined || top !== undefined);
    const isFeet = feet !== undefined && whole === undefined && top === undefined;
    if (unit === undefined ? !isFeet : !isInches) return undefined;
    const isTape = top !== undefined || (feet !== undefined && unit !== undefined) || /['"]/.test(plain);
    if (!isTape) return undefined; /* 18 in, 2 ft */
    const part = top === undefined ? 0 : Number(top) / Number(bottom);
    const inches = Number(feet || 0) * 12 + Number((whole || "0").replace(",", ".")) + part;
    return Number.isFinite(inches) ? Number(inches.toFixed(9)) : undefined;
  }

  /* What was typed as a number; a length may be typed as a tape is read, and is then in feet where its field is. */
  function numberIn(text, field) {
    const isLength = field.kind === "number" && ((window.unitTable || {})[field.unit] || [])[0] === "length";
    const isBare = field.unit === "in" && /^[^a-z'"′’″“”]+$/i.test(text); /* 17 1/2 */
    const inches = isLength ? tapeInches(isBare ? `${text} in` : text) : undefined;
    if (inches === undefined) return parsed(text);
    const number = field.unit === "ft" ? Number((inches / 12).toFixed(9)) : inches;
    return { text: String(number), number, over: "", unit: field.unit === "ft" ? "ft" : "in", typedAs: text };
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

  /* As records.judgement.loop_band: the least and the most that pass in soil of either end, as they are printed. */
  function loopBand(rule, ends) {
    const limits = ends.map((celsius) => loopLimits(rule, celsius));
    const [lows, highs] = [limits.map(({ low }) => strict(low, true)), limits.map(({ high }) => strict(high, false))];
    return [Math.min(...lows), Math.max(...highs)];
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
  function comparedLimits(rule, before, soils, apart) {
    const at = (celsius) => 1 + rule.alpha * (celsius - rule.reference);
    const same = soils.map(([then, now]) => (before * at(now)) / at(then));
    return { low: Math.max(Math.min(...same) - apart - LOST_OHMS, 0), high: Math.max(...same) + apart + LOST_OHMS };
  }

  /* A reading that passes, compared with the first reading of the same pair. */
  function againstFirst(passed, found, field, { before, soils, apart }) {
    const limits = comparedLimits(field.loop, before, soils, apart);
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

  /* Whether what may be lost under load is more than a meter may be off at both readings. */
  const isDropSeen = ({ outputsOff, meter }, least) => 2 * outputsOff - mostAfter(outputsOff, meter) > least;

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
      [least, most] = loopBand(field.loop, soil.ends || [soil.celsius]);
    }
    const untrue = number < 0 ? "This is less than nothing." : "A loop never reads 0. Were the probes on the pair?";
    if (number < 0 || (field.loop && number === 0)) return { ...kept, state: "odd", message: untrue };
    if (least === undefined && most === undefined) return { ...kept, state: "" };
    const isInside = !(number < least) && !(number > most);
    const doubtful = number < field.lowest || (number > field.highest && !found.over);
    const nothing = `0 ${field.unit}: was the meter connected? Read it again.`;
    const unlikely = `Is it ${found.text} ${field.unit}?`;
    if (isInside && doubtful) return { ...kept, state: "ask", message: number === 0 ? nothing : unlikely };
    if (isInside && field.loop && soil.ends) return { ...kept, state: "ask", message: soil.first };
    const aboveOff = `Is it ${found.text} ${field.unit}? With outputs off it is ${against.outputsOff} ${field.unit}.`;
    const isAbove = against.meter && number > mostAfter(against.outputsOff, against.meter);
    if (isInside && isAbove) return { ...kept, state: "ask", message: aboveOff };
    const noLower = `With outputs off it is ${against.outputsOff} ${field.unit}. Was a station on?`;
    const isUnloaded = against.meter && number >= against.outputsOff && isDropSeen(against, field.least);
    if (isInside && isUnloaded) return { ...kept, state: "ask", message: noLower };
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
    if (soil.ends) return soil.first;
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
    const [coldest, hottest, beyond] = field.soil || [-Infinity, Infinity, 0];
    const isWithin = (more) =>
      kept.celsius >= coldest - more - ROUNDED_K && kept.celsius <= hottest + more + ROUNDED_K;
    return isWithin(0) ? { ...kept, state: "" } : doubtedSoil(kept, field, isWithin(beyond));
  }

  /* Soil outside that of the job: a little beyond it the designer is told, far from it the unit is questioned. Loops are
     read in soil of anything between, and pass in none of it. */
  function doubtedSoil(kept, { unit, soil: [coldest, hottest] }, isLikely) {
    const shown = (celsius) => String(Number(between(celsius, "°C", unit).toFixed(1)));
    const [low, high] = [shown(coldest), shown(hottest)];
    const other = unit === "°F" ? "°C" : "°F";
    const beyond = `This job expects ${low} to ${high} ${unit}. Tell the designer.`;
    const unlikely = `Is the soil at ${kept.shown}? This job expects ${low} to ${high} ${unit}. Was ${other} meant?`;
    const first = `Read the soil again first. This job expects ${low} to ${high} ${unit}.`;
    const ends = [coldest, hottest, ...(isLikely ? [kept.celsius] : [])];
    return { ...kept, ends, first, state: isLikely ? "" : "ask", message: isLikely ? beyond : unlikely };
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
    const found = numberIn(trimmed, field);
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
        const typedAs = found.typedAs || found.unit;
        const message = `You typed ${typedAs}: is it ${meant} ${field.unit}?`;
        return { value: found.text, unit: typed.name, state: "ask", meant, message };
      }
    }
    return field.kind === "soil" ? judgedSoil(found, field) : judgedNumber(found, field, soil, against);
  }

  return { parsed, judged, loopLimits, between };
})();
