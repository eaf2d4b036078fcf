"use strict";
// Whether the measures of an opening can be of one door: what a second look at the tape would settle at once.
// `sizes` maps pointers to meters. The limits are the shop's practice figures, as doorlint's rules have them.

function doubts(sizes, limits) {
  // Map from pointers to what is doubtful there.
  return new Map([
    ...limits.ranges.flatMap(range => outOf(range, sizes)),
    ...limits.spreads.flatMap(spread => apart(spread, sizes)),
    ...offDiagonal(limits.diagonal, sizes),
  ].reverse()); // a range goes before a spread
}

function known(pointers, sizes) {
  return pointers.filter(pointer => sizes.has(pointer));
}

function outOf({ pointers, least, most, what }, sizes) {
  return known(pointers, sizes)
    .filter(pointer => sizes.get(pointer) < least || sizes.get(pointer) > most)
    .map(pointer => [pointer, `${what} are ${length(least)} to ${length(most)}: look at the unit`]);
}

function apart({ pointers, most }, sizes) {
  // The entry that lies farthest from the middle one, where they differ by more than they may.
  const found = known(pointers, sizes).sort((a, b) => sizes.get(a) - sizes.get(b));
  if (found.length < 2) return [];
  const [low, high] = [sizes.get(found[0]), sizes.get(found.at(-1))];
  if (high - low <= most * (1 + 1e-9)) return [];
  const middle = sizes.get(found[found.length >> 1]);
  const off = found.length > 2 && middle - low > high - middle ? found[0] : found.at(-1);
  const text = `differs by ${length(high - low)} from ${found.length > 2 ? "the others" : "the other"}: measure again`;
  return [[off, text]];
}

function offDiagonal({ pair, widths, heights, within }, sizes) {
  if (known([...pair, ...widths, ...heights], sizes).length < 6) return [];
  const mean = pointers => (sizes.get(pointers[0]) + sizes.get(pointers[1])) / 2;
  const expected = Math.hypot(mean(widths), mean(heights));
  if (Math.abs(mean(pair) - expected) <= within * (1 + 1e-9)) return [];
  const text = `by width and height the diagonals are about ${length(expected)}: measure all again`;
  return pair.map(pointer => [pointer, text]);
}

function length(meters) {
  // A length in the units of the shop: feet and inches to the nearest eighth, or whole millimeters.
  if (TABLES.dimensions.length.units[0] !== "in") return `${Math.round(meters * 1000)} mm`;
  const eighths = Math.round(meters / 0.0254 * 8);
  const [feet, rest] = eighths >= 48 * 8 ? [Math.floor(eighths / 96), eighths % 96] : [0, eighths];
  const whole = rest >= 8 || !(rest % 8) || feet ? String(rest >> 3) : "";
  const inches = [whole, fraction(rest % 8)].filter(Boolean).join(" ");
  return feet ? `${feet}'-${inches}"` : `${inches} in`;
}

function fraction(eighths) {
  return ["", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"][eighths];
}
