"use strict";
// The fields of the form: each has its pointer and what the schema says of its value in data-... attributes.

function fields(root = document) {
  return [...root.querySelectorAll("[data-pointer][data-kind]")];
}

function fieldAt(pointer) {
  return document.querySelector(`[data-kind][data-pointer="${CSS.escape(pointer)}"]`);
}

function isUsual(field) {
  // Whether it holds what the page put there before anybody typed: no value by itself.
  return field.dataset.usual !== undefined && field.value.trim() === field.dataset.usual;
}

function note(field, text, sort = "") {
  const place = document.getElementById(`${field.id}-note`);
  if (!place) return;
  place.textContent = text;
  place.className = `note ${sort}`;
  field.setAttribute("aria-invalid", String(sort === "wrong"));
}

function values() {
  // All that is typed, by pointer: texts, and lists of texts.
  const found = new Map();
  for (const field of fields()) {
    const text = field.value.trim();
    if (!text || (isUsual(field) && isOtherwiseEmpty(field))) continue;
    found.set(field.dataset.pointer, ["names", "lengths"].includes(field.dataset.kind) ? listed(text) : text);
  }
  return found;
}

function isOtherwiseEmpty(field) {
  return !isGiven(field.closest("section"));
}

function missingAmong(every, given, catalogs) {
  // The fields that are needed and not given. `given` holds the pointers of all values, `catalogs` the key that names
  // the part, by the pointer of a group that a catalog part may fill, with {} for the name of a thing.
  const keys = new Map([...document.querySelectorAll("section.things")].map(map => [map, keysIn(map, given)]));
  return every.filter(field => field.dataset.needed && isMissing(field, given, catalogs, keys));
}

function isMissing(field, given, catalogs, keysOf) {
  // Whether a value is not there, nor given by `each` or a catalog part. Of named things that are empty only the first
  // is asked for, where a job has some.
  const { pointer } = field.dataset;
  const named = (place, group) => group in catalogs && given.has(`${parentOf(place)}/${catalogs[group]}`);
  const has = (place, group) => given.has(place) || named(place, group);
  const thing = field.closest("section.thing");
  if (!thing) return !has(pointer, parentOf(pointer));
  const map = mapOf(thing);
  const rest = pointer.slice(thing.dataset.pointer.length);
  const at = key => `${map.dataset.pointer}/${key}${rest}`;
  const hasAt = key => has(at(key), parentOf(at("{}")));
  const own = thing.dataset.pointer.slice(map.dataset.pointer.length + 1);
  if (hasAt(own) || hasAt("each")) return false;
  const keys = keysOf.get(map);
  if (own === "each") return keys.size ? [...keys].some(key => !hasAt(key)) : !map.dataset.optional;
  if (keys.size) return keys.has(own);
  return !map.dataset.optional && thing === thingsIn(map).find(one => !one.dataset.pointer.endsWith("/each"));
}

function parentOf(pointer) {
  return pointer.slice(0, pointer.lastIndexOf("/"));
}

function keysIn(map, given) {
  // The names of the things of a map that have a value.
  const place = `${map.dataset.pointer}/`;
  const inside = [...given].filter(pointer => pointer.startsWith(place));
  return new Set(inside.map(pointer => pointer.slice(place.length).split("/")[0]).filter(key => key !== "each"));
}

function isGiven(thing) {
  return fields(thing).some(field => field.value.trim() && !isUsual(field));
}

function sizes() {
  // The lengths of the form in meters, by pointer.
  const found = new Map();
  for (const field of fields()) {
    const text = field.value.trim();
    const isLength = ["length", "position"].includes(field.dataset.dimension) && field.dataset.kind === "quantity";
    if (!isLength || !text || !reads(text, field.dataset)) continue;
    found.set(field.dataset.pointer, readValue(text, field.dataset).value);
  }
  return found;
}

// --- named things --------------------------------------------------------------------------------------------------

function mapOf(thing) {
  return thing.closest("section.things");
}

function thingsIn(map) {
  return [...map.querySelectorAll("section.thing")].filter(thing => mapOf(thing) === map);
}

function nextKey(key) {
  // The name of one more thing: s7 after s6, first-2 after first.
  const match = /^(.*?)([0-9]+)$/.exec(key);
  return match ? `${match[1]}${Number(match[2]) + 1}` : `${key}-2`;
}

let added = 0;

function addThing(map, key) {
  // One more of the things of a map, empty, behind the last of them.
  const things = thingsIn(map);
  const last = things.at(-1);
  const from = last.dataset.pointer;
  const to = `${map.dataset.pointer}${pointerOf([key])}`;
  const copy = last.cloneNode(true);
  const suffix = `-a${++added}`;
  copy.querySelectorAll(".balance").forEach(element => { element.textContent = ""; });
  const renamed = text => text.replace(/^(v[0-9]+[^ ]*?)(-help|-note)?$/, `$1${suffix}$2`);
  for (const element of [copy, ...copy.querySelectorAll("*")]) {
    for (const name of ["id", "for", "aria-describedby"]) {
      const text = element.getAttribute(name);
      if (text) element.setAttribute(name, text.split(" ").map(renamed).join(" "));
    }
    if (element.dataset.pointer) element.dataset.pointer = to + element.dataset.pointer.slice(from.length);
  }
  copy.setAttribute("aria-label", steps(to).join(" ").replaceAll("_", " "));
  copy.firstElementChild.textContent = key;
  copy.querySelectorAll(".no").forEach(number => { number.textContent = ""; }); // the numbers are those of the paper
  last.after(copy);
  for (const field of fields(copy)) {
    field.value = "";
    delete field.dataset.usual;
    note(field, "");
  }
  return copy;
}

function sectionAt(sort, path) {
  return document.querySelector(`section.${sort}[data-pointer="${CSS.escape(pointerOf(path))}"]`);
}

function fieldFor(pointer) {
  // The field of a pointer; a thing that the page does not have yet is added where its map has others.
  const found = fieldAt(pointer);
  if (found) return found;
  const path = steps(pointer);
  for (let count = path.length - 1; count > 1; count--) {
    const map = sectionAt("things", path.slice(0, count - 1));
    if (map && !sectionAt("thing", path.slice(0, count)) && path[count - 1] !== "each") {
      addThing(map, path[count - 1]);
      return fieldAt(pointer);
    }
  }
  return null;
}
