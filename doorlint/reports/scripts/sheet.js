"use strict";
// Readings at the door: what they say of the balance at once, and the plates or turns that they ask for.

const SHEET = JSON.parse(document.getElementById("readings-data").textContent);
const TABLE = document.getElementById("readings");
const KEPT = `doorlint ${location.pathname} ${SHEET.name}`;
const FORCE = { kind: "quantity", dimension: "pull", unit: TABLES.force.unit };

function inputs() {
  return [...TABLE.querySelectorAll("input")];
}

function readingsTyped() {
  // Map from the names of places to {up, down} in newtons, where both are given and read.
  const found = new Map();
  for (const { name } of SHEET.places) {
    const [up, down] = ["up", "down"].map(way => document.getElementById(`${name}-${way}`).value.trim());
    if (up && down && reads(up, FORCE) && reads(down, FORCE)) {
      found.set(name, { up: readValue(up, FORCE).value, down: readValue(down, FORCE).value });
    }
  }
  return found;
}

function refreshReadings() {
  const typed = readingsTyped();
  for (const { name, wanted } of SHEET.places) {
    const wrong = ["up", "down"].map(way => amiss(document.getElementById(`${name}-${way}`).value.trim(), FORCE));
    const both = typed.get(name);
    const words = both ? balanceWords(both.up, both.down, wanted) : wrong.filter(Boolean).map(sentence)[0] ?? "";
    document.getElementById(`${name}-says`).textContent = words;
  }
  const sound = new Map([...typed].filter(([, { up, down }]) => up >= down));
  const heavy = new Map([...sound].map(([name, { up, down }]) => [name, imbalance(up, down)]));
  document.getElementById("to-do").replaceChildren(...advice(heavy).map(text => {
    const item = document.createElement("li");
    item.textContent = text;
    return item;
  }));
}

function advice(heavy) {
  // What to do for the imbalances found, by the names of their places.
  const places = SHEET.places.filter(({ name, wanted }) => heavy.has(name) && wanted !== null);
  if (!places.length) return ["Nothing is worked out before a place is read both ways."];
  if (SHEET.boxes) {
    const rollers = new Map(places.map(({ name, roller }) => [roller, heavy.get(name)]));
    const changes = platesToPutIn(SHEET, rollers);
    return SHEET.boxes.map(({ box, bias }) => `${box}: ${plateWords(changes.get(box), bias)}`);
  }
  if (SHEET.gains) {
    const readings = SHEET.places.flatMap(({ name, wanted }, n) =>
      heavy.has(name) && wanted !== null ? [{ off: heavy.get(name) - wanted, gain: SHEET.gains[n] }] : []);
    return [`All springs alike: ${turnsAdvice(turnsToAdd(readings, SHEET.more))}`];
  }
  return ["Not worked out: the spec does not say enough of the counterbalance."];
}

function plateWords(plates, bias) {
  if (plates !== null) return platesAdvice(plates);
  return bias === null ? "no mark of its own; it hangs with the next box" : "its mark is not read";
}

function keepReadings() {
  try {
    localStorage.setItem(KEPT, JSON.stringify(inputs().map(input => [input.id, input.value])));
  } catch {
    document.getElementById("kept").textContent = "This browser keeps nothing: write the readings down.";
  }
}

function restoreReadings() {
  try {
    for (const [id, text] of JSON.parse(localStorage.getItem(KEPT) ?? "[]")) {
      const input = document.getElementById(id);
      if (input) input.value = text;
    }
  } catch {
    document.getElementById("kept").textContent = "The readings typed before could not be read back.";
  }
}

TABLE.addEventListener("input", () => {
  keepReadings();
  refreshReadings();
});
TABLE.addEventListener("focusout", event => {
  event.target.value = withUnit(event.target.value.trim(), FORCE);
  keepReadings();
  refreshReadings();
});
document.getElementById("forget").addEventListener("click", () => {
  for (const input of inputs()) input.value = "";
  keepReadings();
  refreshReadings();
});
document.querySelectorAll(".scripted").forEach(element => { element.hidden = false; });
restoreReadings();
refreshReadings();
