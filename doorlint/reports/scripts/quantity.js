"use strict";
// The trade's notation, read as doorlint reads it: a number and a unit, kept as an exact ratio of integers in SI.
// TABLES holds the units and the dimensions; it is written into the page from the same tables that doorlint reads by.

const TABLES = JSON.parse(document.getElementById("tables").textContent);
const UNITS = new Map(TABLES.units.map(([name, top, bottom, powers]) =>
  [name, { top: BigInt(top), bottom: BigInt(bottom), powers, kind: String(powers) }]));
const PURE = String(UNITS.get("in").powers.map(() => 0));
const LENGTH = UNITS.get("in").kind;
const SPACE = /[\t\n\v\f\r\x1c-\x20\x85\xa0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000]+/;
const MARKS = new Map([
  ...TABLES.fractions.map(([mark, fraction]) => [mark, ` ${fraction} `]),
  ...[..."′‘’ʹ´"].map(mark => [mark, "'"]),
  ...[..."″“”ʺ"].map(mark => [mark, '"']),
  ...[..."‐‑‒–−·"].map(mark => [mark, "-"]),
  ["⁄", "/"], ["²", "^2"], ["³", "^3"], ["⁴", "^4"], ["°", " deg"],
]);
const WRITTEN = new RegExp(
  "^(?:(-) ?)?" +
  "(?:([0-9]{1,30})(?:'(?: ?- ?| ?)| ?ft\\.?(?: ?- ?| ))(?=\\.?[0-9]))?" + // whole feet, inches to follow
  "(?:(?:([0-9]{1,30}) )?([0-9]{1,30})/([0-9]{1,30})" + // 2 1/2 or 1/2
  "|(?=\\.?[0-9])([0-9]{0,30})(?:\\.([0-9]{1,30}))?(?:[eE]([-+]?[0-9]{1,2}))?)" + // 2.5, .5 or 30e6
  "(?: ?(?![eE][-+]?[0-9])(/?[A-Za-z'\"%][^\\n]*))?$", // unit
);
const LONGEST = 80;
const LEAST = 1e-30;

class QuantityError extends Error {}

function readQuantity(text, dimension, { positive = false } = {}) {
  // {top, bottom, value} of a text in one dimension; throws a QuantityError that says what to write instead.
  const want = TABLES.dimensions[dimension];
  const { top, bottom } = scan(text, want);
  const value = nearest(top, bottom);
  if (Math.abs(value) > TABLES.most[dimension]) fail(`more than ${want.most}: check the number and the unit`);
  if (top && Math.abs(value) < LEAST) fail("too small: check the number and the unit");
  if (positive && value <= 0) fail("zero: leave it empty while it is not known");
  return { top, bottom, value };
}

function fail(message) {
  throw new QuantityError(message);
}

function scan(text, want) {
  if ([...text].length > LONGEST) fail(`longer than ${LONGEST} characters: write one number and its unit`);
  const ascii = /^[\x00-\x7f]*$/.test(text);
  const match = (ascii && WRITTEN.exec(text)) || WRITTEN.exec(plain(text));
  if (!match) fail(misread(plain(text), want));
  const [, minus, feet, whole, over, under, digits, decimals, power, name] = match;
  let [top, bottom] = ratio(whole, over, under, digits, decimals, power);
  if (!bottom) fail("the lower number of a fraction is zero");
  if (over && BigInt(over) >= bottom && (whole || BigInt(over) > 9n)) {
    fail("a fraction of one or more: write a space before it");
  }
  const unit = name ? findUnit(name) : bare(want, feet);
  if (!unit) fail(`${name} is not a unit known here: ${suchAs(want)}`);
  if (feet) {
    const isInch = unit.kind === LENGTH && unit.top * 5000n === unit.bottom * 127n;
    if (!isInch) fail("feet are followed by inches: write 12'-2 1/2\"");
    if (top >= 12n * bottom) fail("12 in or more after feet: check the measure");
    top += 12n * BigInt(feet) * bottom;
  }
  if (unit.kind !== want.kind) fail(`${name} does not measure ${want.label}: ${suchAs(want)}`);
  if (want === TABLES.dimensions.count && top % bottom) fail("not a whole number");
  if (minus && !want.signed) fail("write it without a minus sign");
  if (minus) top = -top;
  return { top: top * unit.top, bottom: bottom * unit.bottom };
}

function plain(text) {
  // The text with ASCII marks and single spaces.
  const marked = [...text].map(character => MARKS.get(character) ?? character).join("");
  return squeezed(marked).replaceAll(" /", "/").replaceAll("/ ", "/");
}

function squeezed(text) {
  return text.split(SPACE).filter(Boolean).join(" ");
}

function ratio(whole, over, under, digits, decimals, power) {
  if (over) return [BigInt(whole || 0) * BigInt(under) + BigInt(over), BigInt(under)];
  const ten = Number(power || 0);
  const top = BigInt((digits || "") + (decimals || ""));
  const bottom = 10n ** BigInt((decimals || "").length);
  return ten >= 0 ? [top * 10n ** BigInt(ten), bottom] : [top, bottom * 10n ** BigInt(-ten)];
}

function bare(want, feet) {
  if (feet) fail("a mark or unit is missing after the inches");
  if (want.kind === TABLES.dimensions.count.kind) return { top: 1n, bottom: 1n, kind: want.kind };
  return fail(`a unit is missing: ${suchAs(want)}`);
}

const FOUND = new Map();

function findUnit(name) {
  // The unit that a text names, alone or composed, or null.
  if (!FOUND.has(name)) FOUND.set(name, composed(name));
  return FOUND.get(name);
}

function composed(name) {
  let text = squeezed(name);
  for (const [spelling, spelled] of TABLES.spellings) text = text.replaceAll(spelling, spelled);
  const sides = text.split("/");
  if (sides.length > 2 || !sides.at(-1)) return null;
  const rows = sides.map(side => side ? side.split(" ").map(factor) : []);
  if (rows.some(side => side.length > 3 || side.includes(null))) return null;
  if (rows.some(side => new Set(side.map(row => row.kind)).size < side.length)) return null; // "m m" is no area
  let [top, bottom, powers] = [1n, 1n, UNITS.get("in").powers.map(() => 0)];
  rows.forEach((side, below) => side.forEach(row => {
    [top, bottom] = below ? [top * row.bottom, bottom * row.top] : [top * row.top, bottom * row.bottom];
    powers = powers.map((power, n) => power + (below ? -1 : 1) * row.power * row.powers[n]);
  }));
  const kind = String(powers);
  if (kind === PURE && rows.flat().some(row => row.kind !== LENGTH)) return null; // "lb/lb" is no slope
  return { top, bottom, kind };
}

function factor(word) {
  const match = /^(?:(sq|cu)_)?([A-Za-z'"%]{1,24})([2-4])?$/.exec(word);
  const unit = match && UNITS.get(match[2]);
  if (!unit) return null;
  const power = Number(match[3] || { sq: 2, cu: 3 }[match[1]] || 1);
  if (power > 1 && (unit.kind !== LENGTH || (match[1] && match[3]))) return null;
  return { ...unit, top: unit.top ** BigInt(power), bottom: unit.bottom ** BigInt(power), power };
}

function nearest(top, bottom) {
  // The float nearest to a ratio: 66 bits of the quotient and a bit for the rest, which Number rounds once.
  if (!top) return 0;
  const size = top < 0n ? -top : top;
  const shift = 66 - (size.toString(2).length - bottom.toString(2).length);
  const [over, under] = shift > 0 ? [size << BigInt(shift), bottom] : [size, bottom << BigInt(-shift)];
  const quotient = over / under | (over % under ? 1n : 0n);
  return (top < 0n ? -1 : 1) * Number(quotient) * 2 ** -shift;
}

function misread(text, want) {
  if (!text) return suchAs(want);
  if (/[0-9],[0-9]/.test(text)) return `write it without a comma: ${text.replaceAll(",", ".")}`;
  if (/^[0-9]+ ?- ?[0-9]/.test(text)) return `a bare hyphen says nothing: ${suchAs(want)}`;
  return `not understood: ${suchAs(want)}`;
}

function suchAs(want) {
  return `write ${want.label} such as ${[...new Set(want.example)].join(" or ")}`;
}

// --- values of every kind ------------------------------------------------------------------------------------------

const INTEGER = /^-?(?:0|[1-9][0-9]{0,17})$/;
const DECIMAL = /^-?(?=\.?[0-9])(?:0|[1-9][0-9]{0,17})?(?:\.[0-9]{1,30})?$/;

function readValue(text, limits) {
  // What a text says of a value with these limits (data-... of its field); throws a QuantityError.
  switch (limits.kind) {
    case "quantity": return quantityOf(text, limits);
    case "lengths": return listOf(text, limits, item => quantityOf(item, limits));
    case "names": return listOf(text, limits, item => named(item, limits.pattern), true);
    case "count": return within(INTEGER.test(text) ? Number(text) : fail("write a whole number"), limits);
    case "number": return within(DECIMAL.test(text) ? Number(text) : fail("write a plain number"), limits);
    case "date": return day(text);
    case "part": return named(text, TABLES.part_name);
  }
  return noLonger(text, limits);
}

const SHAPES = Object.fromEntries(Object.entries(TABLES.patterns).map(([dimension, pattern]) =>
  [dimension, new RegExp(pattern.replaceAll(".*", "[^\\n]*"))]));

function noLonger(text, { longest }) {
  return longest && [...text].length > Number(longest) ? fail(`longer than ${longest} characters`) : text;
}

function quantityOf(text, { dimension, positive, longest }) {
  noLonger(text, { longest });
  const read = readQuantity(text, dimension, { positive: positive === "true" });
  if (SHAPES[dimension] && !SHAPES[dimension].test(text)) fail(suchAs(TABLES.dimensions[dimension]));
  return read;
}

function listOf(text, limits, read, unique = false) {
  const items = listed(text);
  if (items.length < Number(limits.fewest || 0) || items.length > Number(limits.many || 1e9)) {
    fail(`write ${limits.fewest} to ${limits.many} of them, with commas between`);
  }
  if (unique && new Set(items).size < items.length) fail("one of them is written twice");
  return items.map(read);
}

function listed(text) {
  return text.split(",").map(item => item.trim()).filter(Boolean);
}

function named(text, pattern) {
  return new RegExp(`^(?:${pattern})$`).test(text) ? text : fail("write names of small letters, digits and hyphens");
}

function within(value, { least, most }) {
  return value >= Number(least) && value <= Number(most) ? value : fail(`write a number from ${least} to ${most}`);
}

function day(text) {
  const match = /^([0-9]{4})-([0-9]{2})-([0-9]{2})$/.exec(text);
  const [year, month, date] = match ? match.slice(1).map(Number) : fail("write the day such as 2026-03-17");
  const days = new Date(Date.UTC(2000 + year % 400, month, 0)).getUTCDate(); // the calendar repeats after 400 years
  return year > 0 && month >= 1 && month <= 12 && date >= 1 && date <= days ? text : fail("there is no such day");
}
