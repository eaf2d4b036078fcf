"use strict";
// One typed entry: the unit that it gets, and what is wrong with it.

const HIDDEN = new RegExp(TABLES.hidden, "u");

function withUnit(text, { kind, dimension, unit, ...limits }) {
  // What was typed, a bare number with the unit that stands beside the field, and feet with their mark of inches.
  if (kind !== "quantity" || !/[0-9¼½¾⅓⅔⅛⅜⅝⅞]$/u.test(text)) return text;
  const meant = text.includes("'") ? `${text}"` : `${text} ${unit}`;
  return !reads(text, { kind, dimension, ...limits }) && reads(meant, { kind, dimension, ...limits }) ? meant : text;
}

function reads(text, limits) {
  return amiss(text, limits) === "";
}

function amiss(text, limits) {
  // What is wrong with a text; empty where it reads, or where nothing is there.
  if (!text) return "";
  if (HIDDEN.test(text)) return "a character in it does not show: type it again";
  try {
    readValue(text, limits);
    return "";
  } catch (error) {
    if (error instanceof QuantityError) return error.message;
    throw error;
  }
}

function sentence(text) {
  return `${text[0].toUpperCase()}${text.slice(1)}.`;
}
