// Says in plain words that the program was stopped, where the client alone would go on showing that it works.
// It watches the client's websocket; when that ends, it asks the program for a small file until it is sure.
(() => {
  "use strict";

  const PAUSE = 1500; // [ms] between two questions; a program that is only busy answers the second one
  const SURE = 2; // questions without an answer
  const PATIENCE = 20_000; // [ms] for the first screen, once the client is there
  let leaving = false;
  let asking = false;

  const open = () =>
    fetch(new URL("version.json", document.baseURI), { cache: "no-store" }).then(
      (answer) => answer.ok,
      () => false,
    );

  const pause = () => new Promise((done) => setTimeout(done, PAUSE));

  const show = () => {
    if (document.getElementById("closed")) return;
    const notice = document.createElement("div");
    notice.id = "closed";
    notice.setAttribute("role", "alert");
    notice.innerHTML = `
      <style>
        #closed { position: fixed; inset: 0; z-index: 2147483647; padding: 20vh 20px 0;
          font: 18px/1.5 sans-serif; color: var(--ink); background: var(--ground); }
        #closed h1 { font-size: 26px; line-height: 1.25; }
        #closed > * { max-width: 34em; margin: 0 auto 16px; }
      </style>
      <h1>${fieldBookWords.say("The field book was closed")}</h1>
      <p>${fieldBookWords.say("What was saved is safe.")}</p>
      <p>${fieldBookWords.say("Start field-app again, and open the address it prints. This page can be shut.")}</p>`;
    document.body.append(notice);
  };

  const ask = async () => {
    if (asking) return;
    asking = true;
    for (let unanswered = 0; !leaving; await pause()) {
      if (await open()) {
        document.getElementById("closed")?.remove();
        break;
      }
      unanswered += 1;
      if (unanswered >= SURE && !leaving) show();
    }
    asking = false;
  };

  fieldBookOpening.framed.then(() => fieldBookOpening.end(PATIENCE));

  window.addEventListener("pagehide", () => { leaving = true; });
  window.addEventListener("pageshow", () => { leaving = false; });

  window.WebSocket = class extends window.WebSocket {
    constructor(...where) {
      super(...where);
      this.addEventListener("close", ask);
    }
  };
})();
