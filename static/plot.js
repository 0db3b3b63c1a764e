// Things in the drawing of a stage follow the hand, the arrow keys and the fields. The fields are what is saved.
"use strict";
(() => {
  const form = document.getElementById("stage");
  const plot = document.querySelector(".plot");
  if (!form || !plot) return;
  const UNITS = 100, STEP = 0.1, BESIDE = 1;
  const { left, top, wide, deep } = plot.dataset;
  const told = document.getElementById("moved");
  const field = (thing, side) => form.elements[`${thing.dataset.thing}-${side}`];
  const tenth = (metres) => Math.round(metres * 10) / 10 + 0;
  const between = (metres, lo, hi) => Math.min(Math.max(metres, lo), hi);
  const inFeet = form.dataset.unit === "ft", FOOT = 0.3048;
  const written = (metres) => (inFeet ? `${tenth(metres / FOOT)} ft` : String(metres));
  const said = (metres) => (inFeet ? `${tenth(metres / FOOT)} feet` : `${Number(metres)} metres`);
  const read = (text) => {
    const [, number, unit] = text.trim().match(/^([+-]?[0-9]+(?:[.,][0-9]+)?)\s*(m|ft|')?$/i) ?? [];
    return number === undefined ? NaN : Number(number.replace(",", ".")) * ((unit ? unit.toLowerCase() === "m" : !inFeet) ? 1 : FOOT);
  };

  const say = (thing) => {
    const { what, right, front } = thing.dataset;
    const side = Number(right) === 0 ? "in the middle" : `${said(Math.abs(right))} ${right > 0 ? "right" : "left"}`;
    thing.setAttribute("aria-label", `${what}: ${side}, ${said(front)} from the front`);
  };
  const show = (thing, right, front) => {
    thing.dataset.right = right;
    thing.dataset.front = front;
    thing.setAttribute("transform", `translate(${Number(left) + (wide / 2 - right) * UNITS} ${Number(top) + (deep - front) * UNITS})`);
    say(thing);
    plot.classList.add("moved");
    told.textContent = "Ways and lengths follow when the stage is saved.";
  };
  const move = (thing, right, front) => {
    const [x, y] = [tenth(between(right, -wide / 2 - BESIDE, wide / 2 + BESIDE)), tenth(between(front, 0, deep))];
    show(thing, x, y);
    field(thing, "right").value = written(x);
    field(thing, "front").value = written(y);
  };
  const metresAt = (event) => {
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(plot.getScreenCTM().inverse());
    return [wide / 2 - (at.x - left) / UNITS, deep - (at.y - top) / UNITS];
  };

  plot.setAttribute("role", "group");
  // To the left of the paper is to the performer's right.
  const ARROWS = { ArrowLeft: [STEP, 0], ArrowRight: [-STEP, 0], ArrowUp: [0, STEP], ArrowDown: [0, -STEP] };
  for (const thing of plot.querySelectorAll("[data-thing]")) {
    if (!field(thing, "right")) continue;
    thing.setAttribute("tabindex", "0");
    thing.setAttribute("role", "button");
    thing.setAttribute("aria-roledescription", "thing to move with the arrow keys");
    say(thing);
    thing.addEventListener("keydown", (event) => {
      const step = ARROWS[event.key];
      if (!step || event.ctrlKey || event.altKey || event.metaKey) return;
      event.preventDefault();
      const times = event.shiftKey ? 5 : 1;
      move(thing, Number(thing.dataset.right) + step[0] * times, Number(thing.dataset.front) + step[1] * times);
    });
    // The style's touch-action does not hold for parts of a drawing: without this the page scrolls away under the finger.
    thing.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
    let grip = null;
    thing.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      const [x, y] = metresAt(event);
      grip = [x - thing.dataset.right, y - thing.dataset.front];
      thing.setPointerCapture(event.pointerId);
      thing.classList.add("held");
    });
    thing.addEventListener("pointermove", (event) => {
      if (!grip) return;
      const [x, y] = metresAt(event);
      move(thing, x - grip[0], y - grip[1]);
    });
    for (const end of ["pointerup", "pointercancel"]) thing.addEventListener(end, () => { grip = null; thing.classList.remove("held"); });
    for (const side of ["right", "front"]) {
      field(thing, side).addEventListener("input", () => {
        const [right, front] = ["right", "front"].map((one) => read(field(thing, one).value));
        if (Number.isFinite(right) && Number.isFinite(front)) show(thing, right, front);
      });
    }
  }
})();
