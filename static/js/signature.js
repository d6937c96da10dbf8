// A signature drawn with a finger, a pen or a mouse: strokes of points in a box of 1000 by 360, kept in a hidden field.
const WIDTH = 1000;
const HEIGHT = 360;
const APART = 4; // points nearer than that tell nothing
const MOST_LETTERS = 16000;

const read = (text) => text.split(";").filter(Boolean).map((stroke) => stroke.split(" ").map((point) => point.split(",").map(Number)));
const write = (strokes) => strokes.map((stroke) => stroke.map((point) => point.join(",")).join(" ")).join(";");
const within = (value, most) => Math.max(0, Math.min(most, Math.round(value)));
const thinned = (stroke) => stroke.filter((point, n) => n % 2 === 0 || n === stroke.length - 1);

class Pad {
  constructor(box) {
    this.field = document.getElementById(box.dataset.signature);
    this.canvas = box.querySelector("canvas");
    this.strokes = read(this.field.value);
    box.hidden = false;
    box.querySelector("button").addEventListener("click", () => this.keep([]));
    this.canvas.addEventListener("pointerdown", (event) => this.begin(event));
    this.canvas.addEventListener("pointermove", (event) => this.draw(event));
    for (const end of ["pointerup", "pointercancel"]) {
      this.canvas.addEventListener(end, () => this.end());
    }
    new ResizeObserver(() => this.show()).observe(this.canvas);
  }

  at({ clientX, clientY }) {
    const { left, top, width, height } = this.canvas.getBoundingClientRect();
    return [within(((clientX - left) / width) * WIDTH, WIDTH), within(((clientY - top) / height) * HEIGHT, HEIGHT)];
  }

  begin(event) {
    if (!event.isPrimary || event.button > 0) {
      return;
    }
    this.canvas.setPointerCapture(event.pointerId);
    this.stroke = [this.at(event)];
    this.strokes.push(this.stroke);
    this.show();
  }

  draw(event) {
    if (!this.stroke || !event.isPrimary) {
      return;
    }
    for (const each of event.getCoalescedEvents?.() ?? [event]) {
      const [x, y] = this.at(each);
      const [lastX, lastY] = this.stroke.at(-1);
      if (Math.hypot(x - lastX, y - lastY) >= APART) {
        this.stroke.push([x, y]);
      }
    }
    this.show();
  }

  end() {
    if (this.stroke) {
      this.stroke = undefined;
      this.keep(this.strokes);
    }
  }

  keep(strokes) {
    while (write(strokes).length > MOST_LETTERS && strokes.some((stroke) => stroke.length > 2)) {
      strokes = strokes.map(thinned);
    }
    this.strokes = strokes;
    this.field.value = write(strokes);
    this.show();
  }

  show() {
    const { clientWidth: width, clientHeight: height } = this.canvas;
    const sharp = window.devicePixelRatio || 1;
    this.canvas.width = width * sharp;
    this.canvas.height = height * sharp;
    const pen = this.canvas.getContext("2d");
    pen.scale((width * sharp) / WIDTH, (height * sharp) / HEIGHT);
    pen.strokeStyle = getComputedStyle(this.canvas).color;
    pen.lineWidth = 7;
    pen.lineCap = pen.lineJoin = "round";
    for (const [first, ...others] of this.strokes) {
      pen.beginPath();
      pen.moveTo(...first);
      for (const point of others.length ? others : [first]) {
        pen.lineTo(...point);
      }
      pen.stroke();
    }
  }
}

const pads = new WeakSet();

function start() {
  for (const box of document.querySelectorAll("[data-signature]")) {
    if (!pads.has(box)) {
      pads.add(box);
      new Pad(box);
    }
  }
}

start();
document.body.addEventListener("htmx:afterSettle", start);
