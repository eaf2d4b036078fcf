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

function balanceWords(up, down) {
  // What two readings say, or what is wrong with them.
  if (up < down) return "Moving up takes less than moving down: the two readings may be swapped. Read again.";
  const heavy = imbalance(up, down);
  const held = `Friction ${force(friction(up, down))}.`;
  if (force(heavy) === force(0)) return `In balance. ${held}`;
  return `Door is ${force(heavy)} ${heavy > 0 ? "heavy" : "light"}. ${held}`;
}
