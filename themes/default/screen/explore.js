/* A chart that is gone into: figure by figure, and a stretch of its axis seen closer.

   Nothing is loaded until a reader asks for it, and without scripts the page is whole. It needs no
   server: what it loads are scripts, which a page that was opened from a folder may load too. */
(() => {
  "use strict";

  const tools = document.querySelector("template#explore");
  const loads = new Map();
  const given = new Map();
  let waiting = null;

  window.dossierCharts = (charts) => waiting?.(charts);

  function load(address) {
    if (!loads.has(address)) {
      loads.set(address, new Promise((done, failed) => {
        const script = document.createElement("script");
        script.src = address;
        script.addEventListener("load", () => done());
        script.addEventListener("error", () => {
          loads.delete(address);
          script.remove();
          failed(new Error(address));
        });
        document.head.append(script);
      }));
    }
    return loads.get(address);
  }

  async function charts(address) {
    waiting = (found) => given.set(address, found);
    await load(address);
    return given.get(address);
  }

  /* Every figure that is drawn, by its place in the picture: its text, once. */
  function spots(view) {
    const found = new Map();
    const walk = (mark, left, top) => {
      for (const item of mark.items ?? []) {
        const x = left + (item.x ?? 0);
        const y = top + (item.y ?? 0);
        if (mark.marktype === "group") {
          for (const inner of item.items ?? []) walk(inner, x, y);
        } else if (item.datum?.said && mark.marktype !== "area") {
          const spot = {
            x: x + (item.width ?? (item.x2 === undefined ? 0 : item.x2 - item.x)) / 2,
            y: y + (item.height ?? (item.y2 === undefined ? 0 : item.y2 - item.y)) / 2,
            said: item.datum.said,
          };
          found.set(`${spot.said} ${Math.round(spot.y)}`, spot);
        }
      }
    };
    walk(view.scenegraph().root, 0, 0);
    return [...found.values()];
  }

  /* The ticks of a stretch with their names, as many as have room. */
  function ticks(stretch, lower, upper) {
    if (lower === stretch.from && upper === stretch.to) {
      return { at: Object.keys(stretch.names).filter((at) => stretch.whole.has(at)).map(Number),
        names: stretch.names };
    }
    return stretch.kind === "keys"
      ? keys(stretch, lower, upper) : days(stretch, lower, upper);
  }

  function keys(stretch, lower, upper) {
    const step = [1, 2, 3, 4, 6, 12].find((each) => (upper - lower) / each <= 13) ?? 12;
    const at = [];
    for (let key = Math.ceil(lower); key <= upper; key += 1) {
      if (stretch.names[key] && (key - 4) % step === 0) at.push(key);
    }
    return { at, names: stretch.names };
  }

  function days(stretch, lower, upper) {
    const first = new Date(lower);
    const count = (upper - lower) / 2629800000;
    const step = [1, 2, 3, 6, 12, 24, 60].find((each) => count / each <= 6) ?? 120;
    const at = [];
    const names = {};
    let named = false;
    for (let month = 0; ; month += 1) {
      const day = Date.UTC(first.getUTCFullYear(), first.getUTCMonth() + month, 1);
      if (day > upper) return { at, names };
      const date = new Date(day);
      const since = date.getUTCFullYear() * 12 + date.getUTCMonth();
      if (day < lower || since % step) continue;
      const year = String(date.getUTCFullYear());
      const name = stretch.months[date.getUTCMonth()];
      names[day] = step >= 12 ? year : named && date.getUTCMonth() ? name : `${name} ${year}`;
      named = true;
      at.push(day);
    }
  }

  /* One chart that is open: where its reader is, and which stretch of it is shown. */
  class Exploration {
    constructor(box, chart, view, plot) {
      this.box = box;
      this.view = view;
      this.plot = plot;
      this.stretch = chart.stretch;
      this.range = box.querySelector("input");
      this.answer = box.querySelector("output");
      this.ring = plot.querySelector(".spot");
      this.pulled = null;
      if (this.stretch) {
        this.stretch.whole = new Set(chart.spec.params
          .find((one) => one.name === "ticks").value.map(String));
        [this.lower, this.upper] = [this.stretch.from, this.stretch.to];
      }
      box.querySelector("[data-do=closer]").parentElement.hidden = !this.stretch;
      this.range.addEventListener("input", () => this.go(Number(this.range.value)));
      plot.addEventListener("pointermove", (event) => this.point(event));
      plot.addEventListener("pointerdown", (event) => this.press(event));
      plot.addEventListener("pointerup", (event) => this.release(event));
      plot.addEventListener("pointerleave", () => { this.pulled = null; });
      this.settle();
    }

    get svg() { return this.plot.querySelector("svg:not(.mark)"); }

    /* What is in sight now, from left to right. */
    settle() {
      const before = this.spots?.[this.place]?.said;
      this.spots = spots(this.view)
        .filter((spot) => spot.x >= -1 && spot.x <= this.view.width() + 1)
        .sort((one, other) => one.x - other.x || one.y - other.y);
      this.range.max = String(Math.max(0, this.spots.length - 1));
      this.range.disabled = !this.spots.length;
      const place = this.spots.findIndex((spot) => spot.said === before);
      this.go(Math.max(0, place));
    }

    /* The upper left corner of the plot within the picture. */
    get corner() {
      const [left, top] = this.view.origin();
      const spare = this.view.padding();
      return [left + spare.left, top + spare.top];
    }

    go(place) {
      const spot = this.spots[place];
      this.place = place;
      this.range.value = String(place);
      this.answer.textContent = spot ? spot.said : "";
      this.range.setAttribute("aria-valuetext", spot ? spot.said : "–");
      this.ring.classList.toggle("unseen-spot", !spot);
      if (!spot) return;
      const [left, top] = this.corner;
      this.ring.setAttribute("cx", String(spot.x + left));
      this.ring.setAttribute("cy", String(spot.y + top));
    }

    /* Where the pointer is, in the picture's own measure. */
    at(event) {
      const frame = this.svg.getBoundingClientRect();
      const scale = this.svg.viewBox.baseVal.width / frame.width;
      const [left, top] = this.corner;
      return [(event.clientX - frame.left) * scale - left, (event.clientY - frame.top) * scale - top];
    }

    point(event) {
      if (!this.spots.length) return;
      const [x, y] = this.at(event);
      let best = 0;
      let least = Infinity;
      this.spots.forEach((spot, place) => {
        const far = (spot.x - x) ** 2 * 4 + (spot.y - y) ** 2;
        if (far < least) [best, least] = [place, far];
      });
      if (best !== this.place) this.go(best);
    }

    /* With a mouse, a stretch is drawn across; a finger scrolls the page, and has the buttons. */
    press(event) {
      if (this.stretch && event.pointerType === "mouse" && event.button === 0) {
        this.pulled = this.at(event)[0];
        event.preventDefault();
      }
    }

    release(event) {
      const start = this.pulled;
      this.pulled = null;
      if (start === null) return;
      const ends = [start, this.at(event)[0]].sort((one, other) => one - other);
      if (ends[1] - ends[0] < 8) return;
      const [lower, upper] = ends.map((x) => this.lower
        + (this.upper - this.lower) * x / this.view.width());
      this.show(lower, upper);
    }

    show(lower, upper) {
      const { from, to, least } = this.stretch;
      const wide = Math.min(to - from, Math.max(least, upper - lower));
      const start = Math.min(to - wide, Math.max(from, (lower + upper - wide) / 2));
      [this.lower, this.upper] = wide >= to - from ? [from, to] : [start, start + wide];
      const { at, names } = ticks(this.stretch, this.lower, this.upper);
      this.view.signal("lower", this.lower).signal("upper", this.upper)
        .signal("near", wide < to - from).signal("names", names).signal("ticks", at);
      this.view.runAsync().then(() => this.settle());
    }

    move(what) {
      const wide = this.upper - this.lower;
      const middle = this.lower + wide / 2;
      const by = { closer: [middle - wide / 4, middle + wide / 4],
        wider: [middle - wide, middle + wide],
        left: [this.lower - wide / 2, this.upper - wide / 2],
        right: [this.lower + wide / 2, this.upper + wide / 2],
        all: [this.stretch.from, this.stretch.to] }[what];
      if (by) this.show(...by);
    }
  }

  async function open(box) {
    const figure = box.closest("figure");
    const still = figure.querySelector(".chart");
    const button = box.querySelector("[data-do=open]");
    const answer = box.querySelector("output");
    button.disabled = true;
    try {
      const [found] = await Promise.all([charts(tools.dataset.charts), load(tools.dataset.engine)]);
      const chart = found[box.dataset.figure];
      const plot = still.cloneNode(false);
      const canvas = document.createElement("div");
      canvas.setAttribute("aria-hidden", "true");
      plot.classList.add("explored");
      plot.append(canvas);
      still.after(plot);
      const { view, finalize } = await window.vegaEmbed(canvas, structuredClone(chart.spec), {
        ast: true, tooltip: false, defaultStyle: false, actions: false, renderer: "svg" });
      plot.append(mark(canvas.querySelector("svg")));
      still.hidden = true;
      box.exploration = new Exploration(box, structuredClone(chart), view, plot);
      box.end = () => { finalize(); plot.remove(); still.hidden = false; };
      box.classList.add("is-open");
      box.querySelector(".explore-tools").hidden = false;
      button.hidden = true;
      box.exploration.range.focus();
    } catch {
      figure.querySelector(".explored")?.remove();
      still.hidden = false;
      answer.textContent = tools.dataset.failed;
    }
    button.disabled = false;
  }

  /* A ring around the figure that is read, over the picture and in its measure. */
  function mark(picture) {
    const name = "http://www.w3.org/2000/svg";
    const over = document.createElementNS(name, "svg");
    over.setAttribute("viewBox", picture.getAttribute("viewBox"));
    over.setAttribute("class", "mark");
    over.setAttribute("aria-hidden", "true");
    const ring = document.createElementNS(name, "circle");
    ring.setAttribute("class", "spot");
    ring.setAttribute("r", "9");
    over.append(ring);
    return over;
  }

  function close(box) {
    box.end();
    box.exploration = null;
    box.classList.remove("is-open");
    box.querySelector(".explore-tools").hidden = true;
    box.querySelector("output").textContent = "";
    const button = box.querySelector("[data-do=open]");
    button.hidden = false;
    button.focus();
  }

  /* Who is led to a folded visit finds it unfolded. */
  function unfold() {
    const folded = document.querySelector(".visit:target > details");
    if (folded) folded.open = true;
  }

  window.addEventListener("hashchange", unfold);
  unfold();

  /* The tools of one chart, named after it. */
  function furnish(box) {
    const name = `spot-${box.dataset.figure}`;
    box.append(tools.content.cloneNode(true));
    box.querySelector(".unseen").append(box.closest("figure").querySelector("h3").textContent);
    box.querySelector("input").id = name;
    box.querySelector("label").htmlFor = name;
    box.querySelector("output").setAttribute("for", name);
    box.hidden = false;
  }

  for (const box of document.querySelectorAll(".explore")) {
    furnish(box);
    box.addEventListener("click", (event) => {
      const what = event.target.closest("button")?.dataset.do;
      if (what === "open") open(box);
      else if (what === "close") close(box);
      else if (what) box.exploration.move(what);
    });
  }
})();
