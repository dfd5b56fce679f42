// The page around the client on a phone: what is shown while it starts, who may write, and updates.
"use strict";

const fieldBook = (() => {
  const { language, say } = fieldBookWords;
  const HINTS = {
    page: say("Fetching the field book. The first time this takes a while; later it needs no network."),
    python: say("Waking up the calculator"),
    canvas: say("Waking up the calculator"),
    app: say("Laying out the tools"),
    records: say("Reading your records"),
    drawing: say("Drawing the first screen"),
  };
  const ORDER = Object.keys(HINTS);
  const PATIENCE = 10_000; // [ms] for the client to draw the first screen, once Python has made it
  let at = 0;

  const step = (name) => {
    document.documentElement.dataset.step = name;
    if (name === "shown") {
      fieldBookOpening.end(PATIENCE);
      return;
    }
    at = Math.max(at, ORDER.indexOf(name));
    const place = document.getElementById("loading-step");
    if (place) place.textContent = HINTS[ORDER[at]];
  };

  // A notice covers the page until it is answered; actions: [name, what to do], the first is the main one.
  const notice = (id, heading, texts, actions) => {
    document.getElementById(id)?.remove();
    const box = document.createElement("section");
    box.id = id;
    box.className = "notice";
    box.setAttribute("role", "alert");
    const title = document.createElement("h1");
    title.textContent = heading;
    box.append(title);
    for (const text of texts) {
      const line = document.createElement("p");
      line.textContent = text;
      box.append(line);
    }
    for (const [name, act] of actions) {
      const button = document.createElement("button");
      button.textContent = name;
      button.addEventListener("click", () => {
        box.remove();
        act();
      });
      box.append(button);
    }
    document.body.append(box);
  };

  // One tab writes: the lock is held by this page for as long as it lives. Without it, this tab may only look.
  const role = new Promise((resolve) => {
    if (!navigator.locks) {
      resolve("writer"); // an old browser: then the file's own lock decides
      return;
    }
    const patience = new AbortController();
    // A page that is loaded again may have to wait a moment for its own past.
    const timer = setTimeout(() => patience.abort(), 1500);
    navigator.locks
      .request("field-book", { signal: patience.signal }, () => {
        clearTimeout(timer);
        resolve("writer");
        return new Promise(() => {});
      })
      .catch(() => resolve("reader"));
  });

  const onlyLooks = () => {
    document.documentElement.dataset.role = "reader";
    notice("second", say("The field book is open in another tab"), [
      say("Records are written by one tab at a time, so that none is lost. This tab shows them as they were a moment ago."),
      say("Close the other tab and try again here, or go back to it."),
    ], [[say("Try again"), () => location.reload()], [say("Only look"), () => {}]]);
  };

  const failed = (text) => {
    console.error(text);
    notice("failed", say("The field book did not start"), [
      say("What was saved is safe; nothing was changed."),
      `${say("Try again. If it happens again, this line says why:")} ${text.trim().split("\n").pop().slice(0, 300)}`,
    ], [[say("Try again"), () => location.reload()]]);
  };

  // Whether this browser hands files like ours to other apps.
  const sends = (() => {
    try {
      return navigator.canShare({ files: [new File(["PK"], "lots.zip", { type: "application/zip" })] });
    } catch {
      return false; // it hands over nothing at all
    }
  })();

  // The sheet opens in the page alone; what became of it goes back through the port.
  const send = async ({ name, bytes, words, port }) => {
    const files = [new File([bytes], name, { type: "application/zip" })];
    try {
      await navigator.share(words ? { files, title: name, text: words } : { files, title: name });
      port.postMessage("sent");
    } catch (error) {
      port.postMessage(error.name === "AbortError" ? "stopped" : String(error));
    }
  };

  const download = ({ name, file }) => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(file);
    link.download = name;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 600_000); // a large one takes its time to be written
  };

  const told = (what) => {
    if (what.step) step(what.step);
    if (what.failed) failed(what.failed);
    if (what.keep) keepForGood();
    if (what.send) send(what.send);
    if (what.download) download(what.download);
    if (what.role === "reader") onlyLooks();
    if (what.notice) notice("said", what.notice.heading, what.notice.texts, what.notice.final
      ? [[say("Try again"), () => location.reload()]] : [[say("Go on"), () => {}]]);
    if (what.step === "shown") later();
  };

  // Asked for once the person has seen what it is for; the answer is shown by the screen of this phone.
  const keepForGood = async () => {
    try {
      document.documentElement.dataset.kept = String(await navigator.storage.persist());
    } catch {
      document.documentElement.dataset.kept = "unknown";
    }
  };

  // Offline and updates. A new build is fetched whole beside the old one; it takes over only when the person says so
  // or when no tab is open, so that an entry that is being made is never lost to it.
  let moving = false;
  const offer = (registration) => {
    if (!registration.waiting || !navigator.serviceWorker.controller) return;
    document.documentElement.dataset.update = "ready";
    const bar = document.createElement("section");
    bar.id = "update";
    bar.setAttribute("role", "status");
    const line = document.createElement("p");
    line.textContent = say(
      "A new version is here. Your records stay as they are; finish what you are typing first.");
    bar.append(line);
    for (const [name, act] of [
      [say("Use it now"), () => {
        moving = true;
        registration.waiting.postMessage("switch");
      }],
      [say("Later"), () => bar.remove()],
    ]) {
      const button = document.createElement("button");
      button.textContent = name;
      button.addEventListener("click", act);
      bar.append(button);
    }
    document.getElementById("update")?.remove();
    document.body.append(bar);
  };

  const later = async () => {
    if (!navigator.serviceWorker) return;
    const registration = await navigator.serviceWorker.register("sw.js", { updateViaCache: "none" });
    const watch = (worker) => worker?.addEventListener("statechange", () => {
      if (worker.state === "installed") offer(registration);
    });
    watch(registration.installing);
    registration.addEventListener("updatefound", () => watch(registration.installing));
    offer(registration);
    // A phone's app stays open for weeks; it looks for a new build when the person comes back to it.
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") registration.update().catch(() => {});
    });
    navigator.serviceWorker.ready.then(() => {
      document.documentElement.dataset.offline = "ready";
    });
    keepForGood();
  };

  navigator.serviceWorker?.addEventListener("controllerchange", () => {
    if (moving) location.reload();
  });

  const worker = new Worker("python-worker.js", { type: "module" });
  worker.onmessage = (event) => {
    if (event.data.fieldBook) told(event.data.fieldBook);
  };
  worker.onerror = (event) => failed(event.message || say("a file is missing"));
  window.addEventListener("DOMContentLoaded", () => step("page"));
  return { language, step, told, failed, role, sends, worker };
})();
