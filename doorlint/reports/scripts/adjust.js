"use strict";
// What to change for the readings found, by the coefficients that the page carries. Forces in newtons; heavy is
// positive. These are doorlint's figures box.plates_correction, torsion.turns_to_add and torsion.turns_advice.

function platesToPutIn({ boxes, plate }, heavy) {
  // Map from boxes to plates, negative to take out; null for a box whose mark was not read. `heavy` maps rollers to
  // imbalances. Each box is rounded on what the boxes above it left over.
  const changes = new Map();
  let changed = 0;
  for (const { box, roller, bias, plates } of boxes) {
    if (!heavy.has(roller) || bias === null) {
      changes.set(box, null);
      continue;
    }
    const change = Math.max(Math.floor(2 * (heavy.get(roller) + bias) / plate - changed + 0.5), -plates);
    changes.set(box, change);
    changed += change;
  }
  return changes;
}

function turnsToAdd(readings, more) {
  // Turns on every spring, negative to take off: those that make the largest difference from what was expected least,
  // and what the springs lack of their best. A reading is {off, gain}: the difference, and what a turn is worth there.
  const over = turns => {
    const left = readings.map(({ off, gain }) => turns * gain - off);
    return Math.max(...left) + Math.min(...left);
  };
  const reach = Math.max(...readings.map(({ off, gain }) => Math.abs(off) / gain));
  return crossing(over, -reach, reach) + more;
}

function crossing(rising, low, high) {
  // Where a rising function crosses 0 between two places; the nearer end where it does not.
  if (rising(low) >= 0) return low;
  if (rising(high) <= 0) return high;
  for (let step = 0; step < 36; step++) {
    const middle = (low + high) / 2;
    [low, high] = rising(middle) < 0 ? [middle, high] : [low, middle];
  }
  return (low + high) / 2;
}

function turnsAdvice(turns) {
  const quarters = evenly(Math.abs(turns) * 4);
  if (quarters === 0) return "leave the turns as they are";
  const [whole, rest] = [Math.floor(quarters / 4), quarters % 4];
  const size = whole && rest ? `${whole} ${rest}/4 turns` : whole ? `${whole} turns` : `${rest}/4 turn`;
  return `${turns > 0 ? "add" : "take off"} ${size}`;
}

function evenly(value) {
  // Rounded to a whole number, a half to the even one.
  const down = Math.floor(value);
  if (value - down !== 0.5) return Math.round(value);
  return down % 2 ? down + 1 : down;
}

function platesAdvice(plates) {
  if (plates === 0) return "leave";
  return `${plates > 0 ? "put in" : "take out"} ${Math.abs(plates)} ${Math.abs(plates) === 1 ? "plate" : "plates"}`;
}
