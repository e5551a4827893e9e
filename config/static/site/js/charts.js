/* Draws every [data-figure] with Plotly from the JSON that its json_script
   holds. Colours and axes come with the figure; only what depends on the
   screen or the paper is decided here. */

const NARROW_PX = 560;
const PAPER_PX = 680;
const PAPER_HEIGHT_PX = 340;

const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
const coarse = window.matchMedia("(pointer: coarse)");

// Plotly writes some styles as attributes, which the content-security policy
// refuses; the same text set through the style object is allowed.
const setAttribute = SVGElement.prototype.setAttribute;
SVGElement.prototype.setAttribute = function setStyleAsProperty(name, value) {
  if (name === "style") {
    this.style.cssText = value;
  } else {
    setAttribute.call(this, name, value);
  }
};

function layoutFor(canvas, figure, width) {
  const family = getComputedStyle(canvas).fontFamily;
  const layout = { ...figure.layout, autosize: false, width };
  layout.font = { ...layout.font, family };
  if (calm.matches) {
    layout.transition = { duration: 0 };
  }
  if (coarse.matches) {
    // A finger on the drawing must still scroll the page.
    layout.dragmode = false;
  }
  if (width === PAPER_PX) {
    layout.height = Math.min(layout.height ?? PAPER_HEIGHT_PX, PAPER_HEIGHT_PX);
    // A figure may say itself what of its layout is another on paper.
    Object.assign(layout, layout.meta?.paper);
    layout.font = { ...layout.font, family };
  }
  if (width < NARROW_PX) {
    layout.margin = { ...layout.margin, r: 12 };
    layout.legend = { ...layout.legend, orientation: "h", x: 0, y: -0.22, yanchor: "top" };
  }
  return layout;
}

function draw(canvas, figure, width) {
  // Plotly writes into what it is given; a copy keeps the source for redraws.
  const { data, layout } = structuredClone(figure);
  return window.Plotly.react(canvas, data, layoutFor(canvas, { layout }, width), {
    displayModeBar: false,
    displaylogo: false,
    scrollZoom: false,
  });
}

function start(canvas) {
  const source = document.getElementById(canvas.dataset.figure);
  const figure = JSON.parse(source.textContent);
  canvas.replaceChildren();
  let drawnWidth = 0;

  function fit(width) {
    if (width > 0 && width !== drawnWidth) {
      drawnWidth = width;
      draw(canvas, figure, width);
    }
  }

  new ResizeObserver(() => fit(canvas.clientWidth)).observe(canvas);
  window.addEventListener("beforeprint", () => fit(PAPER_PX));
  window.addEventListener("afterprint", () => fit(canvas.clientWidth));
}

function startAll(root) {
  root.querySelectorAll("[data-figure]:not([data-drawn])").forEach((canvas) => {
    canvas.dataset.drawn = "";
    start(canvas);
  });
}

startAll(document);
// A chart that arrives in an htmx fragment is drawn like one that was there.
document.addEventListener("htmx:load", (event) => startAll(event.target.parentElement));
