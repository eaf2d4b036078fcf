"use strict";
// Balance readings, in newtons; the signs are those of doorlint's figures reading.imbalance and reading.friction.

function imbalance(up, down) {
  // Positive: the door is heavy and wants down.
  return (up + down) / 2;
}

function friction(up, down) {
  return (up - down) / 2;
}

function force(newtons, digits = 1) {
  // A force in the units of the shop, without its sign.
  const { unit, newtons: one } = TABLES.force;
  return `${Number((Math.abs(newtons) / one).toFixed(digits))} ${unit}`;
}

function balanceWords(up, down, wanted = null) {
  // What two readings say, beside what is wanted there; or what is wrong with them.
  if (up < down) return "Moving up takes less than moving down: the two may be swapped. Read again.";
  const asWanted = wanted === null ? "" : ` Wanted: ${heavyWords(wanted)}.`;
  return `Door is ${heavyWords(imbalance(up, down))}, friction ${force(friction(up, down))}.${asWanted}`;
}

function heavyWords(newtons) {
  return force(newtons) === force(0) ? "in balance" : `${force(newtons)} ${newtons > 0 ? "heavy" : "light"}`;
}
