// What stands there while the field book opens: in the light that the person chose on this device, and until the first
// screen is drawn. The client would take it away at its own first frame, and show something white and English after it.
const fieldBookOpening = (() => {
  "use strict";

  // The client keeps what the screens remember under its own prefix, as JSON.
  try {
    const light = JSON.parse(localStorage.getItem("flutter.field-app.light") ?? '""');
    if (["day", "night", "sun"].includes(light)) document.documentElement.dataset.light = light;
  } catch {
    // a browser that keeps nothing: then in its own light
  }

  // The client removes what has this id at its first frame, and has no other use for it.
  const framed = new Promise((done) => {
    window.addEventListener("flutter-first-frame", () => {
      document.getElementById("loading")?.removeAttribute("id");
      done();
    }, { once: true });
  });

  // Of which kind the context of each canvas is: what WebGL paints goes straight to the display, and reads as nothing.
  const kinds = new WeakMap();
  const getContext = HTMLCanvasElement.prototype.getContext;
  HTMLCanvasElement.prototype.getContext = function (kind, ...more) {
    const context = getContext.call(this, kind, ...more);
    if (context !== null) kinds.set(this, kind);
    return context;
  };

  // The grounds of the screens by day, by night and in the sun. The client's own waiting has others, but by day it is as
  // white as the sun's, so white counts only where the sun's light was chosen, or after a while: it may have been
  // chosen elsewhere.
  const GROUNDS = [[250, 246, 238], [23, 18, 14], [255, 255, 255]];
  const WHITE = GROUNDS[2];
  const NEAR = 3; // as much as a display's colours may shift
  const STEP = 50; // [ms] between two looks
  const DRAWN = 10_000; // [ms] at most from the title of the first screen until it is painted
  const DOUBT = 3000; // [ms] the same, if it is white
  const UNREAD = 500; // [ms] the same, where what is painted can't be read

  const canvases = (root) => [...root.querySelectorAll("*")].flatMap((one) => [
    ...(one.localName === "canvas" ? [one] : []), ...(one.shadowRoot ? canvases(one.shadowRoot) : [])]);

  const brush = () => {
    const spot = document.createElement("canvas");
    spot.width = spot.height = 1;
    return spot.getContext("2d", { willReadFrequently: true });
  };

  // Whether what the client paints can be read: as long as it has no canvas, nobody knows.
  const readable = () => {
    const known = canvases(document.body).map((canvas) => kinds.get(canvas)).filter(Boolean);
    return known.length === 0 || known.some((kind) => !kind.startsWith("webgl"));
  };

  // The colours in the corner of what the client has painted.
  const corners = (spot) => canvases(document.body).flatMap((canvas) => {
    try {
      spot.clearRect(0, 0, 1, 1);
      spot.drawImage(canvas, -3, -3);
    } catch {
      return []; // one without a size yet
    }
    const [...seen] = spot.getImageData(0, 0, 1, 1).data;
    return seen[3] === 255 ? [seen] : [];
  });
  const ours = (white) => (seen) => GROUNDS.some((ground) => (white || ground !== WHITE)
    && ground.every((part, n) => Math.abs(part - seen[n]) <= NEAR));

  // Take it away once a ground of ours is in the corner: so the first screen is there to be seen. Its title says only
  // that it is being drawn, and it is painted later; where nothing can be read, that has to do. After so long [ms] it
  // goes, whatever there is then.
  const end = (patience) => {
    const spot = brush();
    const given = performance.now() + patience;
    let titled = Infinity;
    const look = () => {
      const now = performance.now();
      if (document.title) titled = Math.min(titled, now);
      const white = document.documentElement.dataset.light === "sun" || now > titled + DOUBT;
      const why = corners(spot).some(ours(white)) ? "seen" : now > titled + UNREAD && !readable() ? "unread"
        : now > Math.min(given, titled + DRAWN) ? "late" : "";
      if (why === "") {
        setTimeout(look, STEP);
        return;
      }
      document.documentElement.dataset.opened ??= why;
      document.querySelector(".opening")?.remove();
    };
    look();
  };
  return { framed, end };
})();
