"use strict";
// Moves the door of a page through its travel: one slider, the drawings and the figures beside it.
(function () {
  const data = JSON.parse(document.getElementById("motion").textContent);
  const slider = document.getElementById("travel");

  function layers() {
    const found = [];
    for (const [name, papers] of Object.entries(data.papers)) {
      for (const [suffix, paper] of Object.entries(papers)) {
        const title = document.getElementById(name + suffix + "-title");
        if (!title) continue;
        const group = document.createElementNS(title.namespaceURI, "g");
        group.setAttribute("class", "moving");
        group.setAttribute("aria-hidden", "true");
        title.parentNode.appendChild(group);
        found.push({ name, paper, group });
      }
    }
    return found;
  }

  function points(shape, paper) {
    const [unit, left, top, up] = paper;
    const words = [];
    for (let at = 0; at < shape.length; at += 2) {
      words.push((left + shape[at] * unit).toFixed(1) + "," + (top - shape[at + 1] * up).toFixed(1));
    }
    return words.join(" ");
  }

  function show(step) {
    const frame = data.frames[step];
    for (const layer of drawn) {
      layer.group.replaceChildren(...(frame.shapes[layer.name] || []).map((shape) => {
        const polygon = document.createElementNS(layer.group.namespaceURI, "polygon");
        polygon.setAttribute("points", points(shape, layer.paper));
        return polygon;
      }));
    }
    slider.setAttribute("aria-valuetext", frame.says);
    for (const [place, text] of frame.cells.entries()) cells[place].textContent = text;
  }

  const cells = data.labels.map((label) => {
    const pair = document.createElement("div");
    const term = document.createElement("dt");
    const value = document.createElement("dd");
    term.textContent = label;
    pair.append(term, value);
    document.getElementById("motion-cells").append(pair);
    return value;
  });
  const drawn = layers();
  document.getElementById("motion-panel").hidden = false;
  slider.max = String(data.frames.length - 1);
  slider.addEventListener("input", () => show(Number(slider.value)));
  show(Number(slider.value));
})();
