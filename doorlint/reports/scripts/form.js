"use strict";
// The form: checks each entry, keeps what was typed in this browser, shows what is missing, and gives and reads a spec.

const FORM = document.getElementById("lines");
const PAGE = JSON.parse(document.getElementById("page").textContent);
const KEPT = `doorlint ${location.pathname} ${PAGE.digest}`;
const MANY = 80; // fields from which on the groups are closed at first
let others = new Map(); // values of a spec that was read in, for which the form has no field
let before = null; // what the form held before it was read into or cleared

// --- what the form holds -------------------------------------------------------------------------------------------

function held() {
  return { typed: fields().map(field => [field.dataset.pointer, field.value]), others: [...others] };
}

function hold({ typed, others: more }) {
  for (const [pointer, text] of typed) {
    const field = fieldFor(pointer);
    if (field) field.value = text;
  }
  others = new Map(more);
}

function keep() {
  try {
    localStorage.setItem(KEPT, JSON.stringify(held()));
  } catch {
    say("This browser keeps nothing: save the spec before you leave the page.");
  }
}

function restore() {
  try {
    const kept = localStorage.getItem(KEPT);
    if (kept) hold(JSON.parse(kept));
  } catch {
    say("What was typed before could not be read back.");
  }
}

function fill(spec) {
  // Put a spec in: a Map from pointers to texts and lists.
  for (const field of fields()) field.value = "";
  others = new Map();
  for (const [pointer, value] of spec) {
    const text = Array.isArray(value) ? value.join(", ") : value;
    const field = ["/doorlint", "/stage"].includes(pointer) ? null : fieldFor(pointer);
    if (field) field.value = text;
    if (field ? field.value !== text : !["/doorlint", "/stage"].includes(pointer)) others.set(pointer, value);
  }
}

function spec() {
  return new Map([["/doorlint", "1"], ["/stage", PAGE.stage], ...values(), ...others]);
}

// --- what it says about it -----------------------------------------------------------------------------------------

function check(field) {
  const wrong = amiss(field.value.trim(), field.dataset);
  note(field, wrong && sentence(wrong), wrong ? "wrong" : "");
  field.closest(".line")?.classList.toggle("filled", field.value.trim() !== "");
  return wrong;
}

function refresh() {
  const every = fields();
  const given = new Set(spec().keys());
  const wrong = every.filter(check);
  const doubtful = doubts(sizes(), PAGE.plausible);
  for (const [pointer, text] of doubtful) {
    const field = fieldAt(pointer);
    if (field && !wrong.includes(field)) note(field, `Doubtful: ${text}.`, "doubt");
  }
  const missing = missingAmong(every, given, PAGE.catalogs);
  readings();
  for (const fold of FORM.querySelectorAll("details.fold")) {
    fold.querySelector(".state").textContent = state(fields(fold), missing, wrong);
  }
  listLinks("missing", missing);
  listLinks("wrong", wrong);
  const doubted = doubtful.size ? `, ${doubtful.size} doubtful` : "";
  document.getElementById("count").textContent = state(every, missing, wrong) + doubted;
  document.getElementById("yaml").value = writeYaml(spec());
  const more = document.getElementById("others");
  more.textContent = others.size ? `${others.size} more values of the spec that was read are kept as they are.` : "";
}

function state(every, missing, wrong) {
  // How far some fields are filled in.
  const among = new Set(every);
  const count = found => found.filter(field => among.has(field)).length;
  const given = every.filter(field => field.value.trim() && !isUsual(field)).length;
  const parts = [`${given} of ${every.length} given`, count(missing) && `${count(missing)} needed`,
    count(wrong) && `${count(wrong)} to correct`];
  return parts.filter(Boolean).join(", ");
}

function nameOf(field) {
  const number = field.labels[0]?.querySelector(".no").textContent ?? "";
  return `${number} ${steps(field.dataset.pointer).join(" ").replaceAll("_", " ")}`;
}

function listLinks(name, found) {
  const list = document.getElementById(name);
  list.replaceChildren(...found.map(field => {
    const link = document.createElement("a");
    link.href = `#${field.id}`;
    link.textContent = nameOf(field);
    link.addEventListener("click", event => {
      event.preventDefault();
      const fold = field.closest("details");
      if (fold) fold.open = true;
      field.focus();
    });
    const item = document.createElement("li");
    item.append(link);
    return item;
  }));
  list.previousElementSibling.hidden = list.hidden = !found.length;
}

function readings() {
  // Beside each pair of readings what they say of the balance.
  for (const thing of document.querySelectorAll("section.record section.thing")) {
    const [up, down] = ["up", "down"].map(key => fieldAt(`${thing.dataset.pointer}/${key}`));
    if (!up || !down) continue;
    const both = [up, down].map(field => field.value.trim() && reads(field.value.trim(), field.dataset) &&
      readValue(field.value.trim(), field.dataset).value);
    let place = thing.querySelector(".balance");
    if (!place) {
      place = document.createElement("p");
      place.className = "balance";
      place.setAttribute("aria-live", "polite");
      thing.append(place);
    }
    const wanted = PAGE.wanted[fieldAt(`${thing.dataset.pointer}/roller`)?.value.trim()] ?? null;
    place.textContent = both.every(value => typeof value === "number") ? balanceWords(...both, wanted) : "";
  }
}

function say(text) {
  document.getElementById("said").textContent = text;
}

// --- what is done with it ------------------------------------------------------------------------------------------

function fileName() {
  const name = ["/job/number", "/job/opening"].map(pointer => fieldAt(pointer)?.value.trim()).filter(Boolean).join("-");
  return `${(name || PAGE.name).toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "") || "spec"}.yaml`;
}

async function copy() {
  const area = document.getElementById("yaml");
  try {
    await navigator.clipboard.writeText(area.value);
    say("Copied.");
  } catch {
    document.getElementById("text").open = true;
    area.select();
    say(document.execCommand("copy") ? "Copied." : "Not copied: press and hold the text below, then copy it.");
  }
}

function save() {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([document.getElementById("yaml").value], { type: "application/yaml" }));
  link.download = fileName();
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  say(`Saved as ${link.download}.`);
}

async function share() {
  try {
    await navigator.share({ title: fileName(), text: document.getElementById("yaml").value });
  } catch (error) {
    if (error.name !== "AbortError") say("Not shared: copy or save it instead.");
  }
}

function readIn(text) {
  let read;
  try {
    read = readYaml(text);
  } catch (error) {
    if (!(error instanceof YamlError)) throw error;
    say(`Nothing was read: ${error.message}.`);
    return;
  }
  if (!read.has("/doorlint")) {
    say("Nothing was read: no line begins with doorlint:, so this is no spec.");
    return;
  }
  change(() => fill(read));
  const stage = read.get("/stage");
  const other = stage === PAGE.stage ? "" : ` The spec was of stage ${stage}; this form is of stage ${PAGE.stage}.`;
  say(`${read.size} values read.${other}`);
}

function change(action) {
  before = held();
  action();
  settled();
  document.getElementById("undo").hidden = false;
}

function undo() {
  for (const field of fields()) field.value = "";
  hold(before);
  settled();
  document.getElementById("undo").hidden = true;
  say("As it was before.");
}

function settled() {
  keep();
  refresh();
}

// --- keys that a number pad lacks ----------------------------------------------------------------------------------

const PAD = document.getElementById("pad");
let typing = null;

function keysFor({ kind, dimension }) {
  if (kind === "date") return ["-", "today"];
  if (!["quantity", "lengths"].includes(kind)) return kind === "number" ? ["-", "."] : [];
  const { units, signed } = TABLES.dimensions[dimension];
  const isFeet = units.includes("ft") && ["length", "position"].includes(dimension);
  const marks = isFeet ? ["'-", '"', "1/2", "1/4", "3/4", "1/8"] : [];
  const more = [signed && "-", kind === "lengths" && ","].filter(Boolean);
  return [...marks, "/", "space", ...more, ...units.filter(unit => unit !== "ft" || !isFeet)];
}

function press(key) {
  const field = typing;
  if (!field) return;
  if (key === "today") {
    const now = new Date();
    const parts = [now.getFullYear(), now.getMonth() + 1, now.getDate()];
    field.value = parts.map(part => String(part).padStart(2, "0")).join("-");
  } else {
    const [start, end] = [field.selectionStart, field.selectionEnd];
    const mark = key === "space" ? " " : key;
    const apart = /^[0-9a-z%]/i.test(mark) && /[0-9]$/.test(field.value.slice(0, start)) ? " " : "";
    field.setRangeText(apart + mark, start, end, "end");
  }
  field.focus();
  field.dispatchEvent(new Event("input", { bubbles: true }));
}

function showPad(field) {
  const keys = field?.dataset.kind ? keysFor(field.dataset) : [];
  typing = keys.length ? field : null;
  PAD.hidden = !keys.length;
  PAD.replaceChildren(...keys.map(key => {
    const button = document.createElement("button");
    button.type = "button";
    button.tabIndex = -1; // a keyboard has these keys
    button.textContent = key;
    button.addEventListener("pointerdown", event => event.preventDefault()); // the field keeps the focus
    button.addEventListener("click", () => press(key));
    return button;
  }));
}

// --- start ---------------------------------------------------------------------------------------------------------

function begin() {
  for (const map of FORM.querySelectorAll("section.things")) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "add";
    button.textContent = `Add to ${steps(map.dataset.pointer).at(-1).replaceAll("_", " ")}`;
    button.addEventListener("click", () => {
      const keys = thingsIn(map).map(thing => steps(thing.dataset.pointer).at(-1));
      let key = nextKey(keys.at(-1));
      while (keys.includes(key)) key = nextKey(key);
      addThing(map, key).querySelector("[data-kind]").focus();
      settled();
    });
    (map.querySelector(":scope > details") ?? map).append(button);
  }
  FORM.addEventListener("submit", event => event.preventDefault());
  FORM.addEventListener("input", () => keep());
  FORM.addEventListener("change", settled);
  FORM.addEventListener("focusin", event => showPad(event.target));
  FORM.addEventListener("focusout", event => {
    const { target } = event;
    if (target.matches("input[data-kind]")) {
      target.value = withUnit(target.value.trim(), target.dataset);
      settled();
    }
    if (!FORM.contains(event.relatedTarget)) showPad(null);
  });
  for (const action of [copy, save, share, undo]) {
    document.getElementById(action.name).addEventListener("click", action);
  }
  document.getElementById("clear").addEventListener("click", () => change(() => {
    fill(new Map());
    say("Cleared. Undo brings it back.");
  }));
  document.getElementById("read").addEventListener("click", () => readIn(document.getElementById("paste").value));
  document.getElementById("file").addEventListener("change", async event => {
    const file = event.target.files[0];
    if (file) readIn(await file.text());
    event.target.value = "";
  });
  window.addEventListener("beforeprint", () => foldAll(true));
  document.getElementById("share").hidden = !navigator.share;
  document.querySelectorAll(".scripted").forEach(element => { element.hidden = false; });
  restore();
  refresh();
  if (fields().length > MANY) foldAll(false);
}

function foldAll(open) {
  for (const fold of FORM.querySelectorAll("details.fold")) fold.open = open;
}

begin();
