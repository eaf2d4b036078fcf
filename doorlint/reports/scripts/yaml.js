"use strict";
// The YAML of a spec: written in block style, and read as far as specs are written. Scalars are texts, as in doorlint.
// A value has a pointer (RFC 6901); a spec is a Map from pointers to texts or lists of texts, in its order.

class YamlError extends Error {}

function steps(pointer) {
  return pointer.split("/").slice(1).map(step => step.replaceAll("~1", "/").replaceAll("~0", "~"));
}

function pointerOf(path) {
  return path.map(step => `/${step.replaceAll("~", "~0").replaceAll("/", "~1")}`).join("");
}

// --- writing -------------------------------------------------------------------------------------------------------

function writeYaml(values) {
  return lines(nested(values), "").map(line => `${line}\n`).join("");
}

function nested(values) {
  const root = new Map();
  for (const [pointer, value] of values) {
    const path = steps(pointer);
    const last = path.pop();
    let group = root;
    for (const step of path) {
      if (!(group.get(step) instanceof Map)) group.set(step, new Map());
      group = group.get(step);
    }
    group.set(last, value);
  }
  return root;
}

function lines(group, pad) {
  return [...group].flatMap(([key, value]) => value instanceof Map
    ? [`${pad}${scalar(key)}:`, ...lines(value, `${pad}  `)]
    : [`${pad}${scalar(key)}: ${Array.isArray(value) ? list(value) : scalar(value)}`]);
}

function list(items) {
  return `[${items.map(item => scalar(item, true)).join(", ")}]`;
}

const NOT_SHOWN = /[^\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\u{10000}-\u{10ffff}]/gu;

function scalar(text, inList = false) {
  // A text that reads as it is: plain where that is safe, else in quotes.
  if (text.search(NOT_SHOWN) >= 0) {
    const escape = mark => `\\u${mark.charCodeAt(0).toString(16).padStart(4, "0")}`;
    return `"${text.replace(/["\\]/g, "\\$&").replace(NOT_SHOWN, escape)}"`;
  }
  const isPlain = /^[^\s,[\]{}#&*!|>'"%@`?:-]|^-[^\s-]/u.test(text) && !/: |:$| #|\s$|^-$/u.test(text) &&
    !/^(?:~|null)$/i.test(text) && !(inList && /[,[\]{}]/.test(text));
  return isPlain ? text : `'${text.replaceAll("'", "''")}'`;
}

// --- reading -------------------------------------------------------------------------------------------------------

function readYaml(text) {
  // Map from pointers to texts and lists; throws a YamlError that names the line.
  const every = text.replace(/^\ufeff/, "").split(/\r\n|\r|\n/);
  const rows = every.map((line, n) => ({ number: n + 1, ...bared(line, n + 1) }));
  const reader = { rows: rows.filter(row => row.text && row.text !== "---"), at: 0 };
  const values = new Map();
  if (reader.rows.length) flatten(block(reader, reader.rows[0].indent), [], values);
  if (reader.at < reader.rows.length) refuse(reader.rows[reader.at], "is not in line with what is above it");
  return values;
}

function refuse(row, what) {
  throw new YamlError(`line ${row.number} ${what}`);
}

function bared(line, number) {
  // A line without its remark: what its indentation is, and its text.
  const indent = line.search(/[^ ]/);
  if (line[indent] === "\t") refuse({ number }, "is indented by a tab");
  let quote = "";
  for (let n = Math.max(indent, 0); n < line.length; n++) {
    const before = line[n - 1] ?? " ";
    if (quote) {
      if (quote === '"' && line[n] === "\\") n++;
      else if (line[n] === quote) quote = "";
    } else if ("'\"".includes(line[n]) && /[\s,[{:]/.test(before) && startsScalar(line, n)) quote = line[n];
    else if (line[n] === "#" && /\s/.test(before)) return { indent, text: line.slice(indent, n).trimEnd() };
  }
  return { indent, text: line.slice(Math.max(indent, 0)).trimEnd() };
}

function startsScalar(line, n) {
  // Whether a quote begins a value: nothing of a plain one stands between it and the mark before.
  return /(?:^|[[{,:-])\s*$/.test(line.slice(0, n));
}

function block(reader, indent) {
  return isItem(reader.rows[reader.at].text) ? blockList(reader, indent) : blockMap(reader, indent);
}

function isItem(text) {
  return text === "-" || text.startsWith("- ");
}

function blockList(reader, indent) {
  const items = [];
  for (let row; (row = reader.rows[reader.at])?.indent === indent && isItem(row.text);) {
    reader.at++;
    items.push(inline(reader, row, row.text.slice(1).trim()));
  }
  return items;
}

const KEY = /^(?:'((?:[^']|'')*)'|"([^"\\]*)"|([^\s'"[\]{},#&*!|>%@`:-][^\s:,[\]{}]*)):(?:\s+(.*))?$/;

function blockMap(reader, indent) {
  const group = new Map();
  for (let row; (row = reader.rows[reader.at])?.indent === indent;) {
    const match = KEY.exec(row.text) ?? refuse(row, "is not a key, a colon and a value");
    const key = match[1]?.replaceAll("''", "'") ?? match[2] ?? match[3];
    if (group.has(key)) refuse(row, `gives ${key} a second time`);
    reader.at++;
    const next = reader.rows[reader.at];
    const isBelow = next && (next.indent > indent || (next.indent === indent && isItem(next.text)));
    group.set(key, match[4] ? inline(reader, row, match[4]) : isBelow ? block(reader, next.indent) : null);
  }
  return group;
}

function inline(reader, row, text) {
  // A value that begins on the line of its key; one in brackets may run on.
  const opened = /^[[{]/.test(text);
  while (opened && depth(text) > 0 && reader.at < reader.rows.length) text += ` ${reader.rows[reader.at++].text}`;
  const next = reader.rows[reader.at];
  if (!opened && next?.indent > row.indent) refuse(next, "goes on with the value above it; write it on one line");
  const cursor = { text, at: 0, row };
  const value = flow(cursor, opened);
  if (cursor.at < text.length) refuse(row, "has something behind its value");
  return value;
}

function depth(text) {
  const bare = text.replace(/(?<=[[{,:]\s*)(?:'(?:[^']|'')*'|"(?:[^"\\]|\\.)*")/g, "");
  return (bare.match(/[[{]/g) ?? []).length - (bare.match(/[\]}]/g) ?? []).length;
}

function flow(cursor, inBrackets) {
  const rest = cursor.text.slice(cursor.at);
  if (rest[0] === "{") return flowMap(cursor);
  if (rest[0] === "[") return flowList(cursor);
  if (/^[&*!|>%@`]/.test(rest)) refuse(cursor.row, `begins a value with ${rest[0]}, which is not read here`);
  const quoted = /^'((?:[^']|'')*)'|^"((?:[^"\\]|\\.)*)"/.exec(rest);
  if (quoted) {
    cursor.at += quoted[0].length;
    return quoted[1]?.replaceAll("''", "'") ?? unescaped(quoted[2], cursor.row);
  }
  const plain = inBrackets ? /^(?:[^,[\]{}:]|:(?=[^\s,[\]{}]))*/.exec(rest)[0] : rest;
  if (!inBrackets && /: |:$/.test(plain)) refuse(cursor.row, "has a second colon; put the value in quotes");
  cursor.at += plain.length;
  const text = plain.trim();
  return /^(?:|~|null|Null|NULL)$/.test(text) ? null : text;
}

const ESCAPES = { n: "\n", t: "\t", r: "\r", b: "\b", f: "\f", '"': '"', "\\": "\\", "/": "/", " ": " " };

function unescaped(text, row) {
  return text.replace(/\\(?:u([0-9a-fA-F]{4})|x([0-9a-fA-F]{2})|(.))/g, (_, wide, narrow, mark) => {
    if (!mark) return String.fromCharCode(parseInt(wide ?? narrow, 16));
    return ESCAPES[mark] ?? refuse(row, `has \\${mark}, which is not read here`);
  });
}

function spaces(cursor) {
  while (cursor.text[cursor.at] === " ") cursor.at++;
}

function flowList(cursor) {
  const items = [];
  for (cursor.at++; ; cursor.at++) {
    spaces(cursor);
    if (cursor.text[cursor.at] === "]") break;
    items.push(flow(cursor, true));
    spaces(cursor);
    if (cursor.text[cursor.at] === "]") break;
    if (cursor.text[cursor.at] !== ",") refuse(cursor.row, "has a list that does not end");
  }
  cursor.at++;
  return items;
}

function flowMap(cursor) {
  const group = new Map();
  for (cursor.at++; ; cursor.at++) {
    spaces(cursor);
    if (cursor.text[cursor.at] === "}") break;
    const key = flow(cursor, true);
    if (typeof key !== "string") refuse(cursor.row, "has a key that is no word");
    if (group.has(key)) refuse(cursor.row, `gives ${key} a second time`);
    spaces(cursor);
    if (cursor.text[cursor.at] !== ":") refuse(cursor.row, `has no colon behind ${key}`);
    cursor.at++;
    spaces(cursor);
    group.set(key, flow(cursor, true));
    spaces(cursor);
    if (cursor.text[cursor.at] === "}") break;
    if (cursor.text[cursor.at] !== ",") refuse(cursor.row, "has a group that does not end");
  }
  cursor.at++;
  return group;
}

function flatten(node, path, values) {
  if (node instanceof Map) for (const [key, value] of node) flatten(value, [...path, key], values);
  else if (node !== null) values.set(pointerOf(path), Array.isArray(node) ? node.map(String) : node);
}
