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

  // The grounds of the screens by day, by night and in the sun; the client's own waiting has others.
  const GROUNDS = [[250, 246, 238], [23, 18, 14], [255, 255, 255]];
  const NEAR = 3; // as much as a display's colours may shift
  const STEP = 50; // [ms] between two looks
  const DRAWN = 3000; // [ms] at most from the title of the first screen until it is painted

  const canvases = (root) => [...root.querySelectorAll("*")].flatMap((one) => [
    ...(one.localName === "canvas" ? [one] : []), ...(one.shadowRoot ? canvases(one.shadowRoot) : [])]);

  const brush = () => {
    const spot = document.createElement("canvas");
    spot.width = spot.height = 1;
    return spot.getContext("2d", { willReadFrequently: true });
  };

  // Whether the corner of what the client paints has a ground of ours: so its first screen is there to be seen. Its
  // title says only that the screen is being drawn, which another thread may do later.
  const painted = (spot) => canvases(document.body).some((canvas) => {
    try {
      spot.clearRect(0, 0, 1, 1);
      spot.drawImage(canvas, -3, -3);
    } catch {
      return false; // one without a size yet
    }
    const seen = spot.getImageData(0, 0, 1, 1).data;
    return seen[3] === 255 && GROUNDS.some((ground) => ground.every((part, n) => Math.abs(part - seen[n]) <= NEAR));
  });

  // Take it away once the first screen can be seen, or after so long [ms], whatever there is then. A browser that lets
  // nobody read what is painted gives at least the title.
  const end = (patience) => {
    const spot = brush();
    let until = performance.now() + patience;
    let titled = false;
    const look = () => {
      if (!titled && document.title) {
        titled = true;
        until = Math.min(until, performance.now() + DRAWN);
      }
      if (performance.now() < until && !painted(spot)) setTimeout(look, STEP);
      else document.querySelector(".opening")?.remove();
    };
    look();
  };
  return { framed, end };
})();
