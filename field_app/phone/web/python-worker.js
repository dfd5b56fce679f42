// Python on the phone, in a thread of its own. It starts when the page does, without waiting for the client, and
// keeps the client's contract: flet_js.args, .documentUrl, .send, .start_connection and .receive_callback.
"use strict";

const HOME = self.location.origin;
const tell = (what) => self.postMessage({ fieldBook: what });

// The page's policy does not always reach into a worker, so this thread has a fence of its own.
const near = (where) => {
  const url = new URL(where instanceof Request ? where.url : where, self.location.href);
  if (url.origin !== HOME) throw new TypeError(`this app asks nobody but ${HOME}`);
};
const fetchNear = self.fetch;
self.fetch = async (where, options) => {
  near(where);
  return fetchNear(where, options);
};
for (const name of ["XMLHttpRequest", "WebSocket", "EventSource", "WebTransport", "importScripts"]) {
  Object.defineProperty(self, name, { value: undefined });
}

const flet_js = {};
self.flet_js = flet_js;

// A promise that fails reaches Python only with an error of the language's own. The browser's exceptions, such as that
// there is no room, are none, and whoever waits in Python would wait for ever.
const plain = (verb) => async (...given) => {
  try {
    return await verb(...given);
  } catch (error) {
    throw new Error(`${error.name}: ${error.message}`);
  }
};
const say = (text) => console.log(text);

async function boot() {
  tell({ step: "python" });
  const archive = fetchNear("app.tar.gz").then((answer) => {
    if (!answer.ok) throw new Error(`app.tar.gz: ${answer.status}`);
    return answer.arrayBuffer();
  });
  const compiled = recall();
  const { loadPyodide } = await import("./pyodide/pyodide.mjs");
  const python = await loadPyodide({ stdout: say, stderr: say });
  self.pyodide = python;
  python.unpackArchive(await archive, "gztar");
  const kept = await compiled;
  if (kept) python.unpackArchive(kept, "tar");
  python.registerJsModule("flet_js", flet_js);
  tell({ step: "app" });
  python.runPython(`
import sys
sys.path.insert(0, "/home/pyodide/__pypackages__")
import field_app.ui
`);
  return python;
}

// What Python compiled at an earlier start of the same build, or null. Losing it costs time, nothing else.
async function recall() {
  try {
    const found = await caches.match("compiled.tar", { cacheName: COMPILED });
    return (await found?.arrayBuffer()) ?? null;
  } catch {
    return null;
  }
}

flet_js.keep_compiled = plain(async (name, bytes) => {
  const place = await caches.open(COMPILED);
  await place.put(name, new Response(bytes));
});

// What is in a file; nothing, if there is none.
async function read(root, name) {
  try {
    return new Uint8Array(await (await (await root.getFileHandle(name)).getFile()).arrayBuffer());
  } catch (error) {
    if (error.name === "NotFoundError") return new Uint8Array();
    throw error;
  }
}

// The file of records. One holder of its handle may write; whoever comes second gets what is in it, to look at.
flet_js.open_records = plain(async (role) => {
  const root = await navigator.storage.getDirectory();
  const file = await root.getFileHandle(RECORDS, { create: true });
  let handle = null;
  for (let attempt = 0; role === "writer" && !handle; attempt++) {
    try {
      handle = await file.createSyncAccessHandle();
    } catch (error) {
      if (error.name !== "NoModificationAllowedError") throw error;
      if (attempt === 20) break; // another tab of a browser without locks for pages
      await new Promise((done) => setTimeout(done, 100)); // a page that was loaded again may hold it for a moment
    }
  }
  if (!handle) return { role: "reader", data: await read(root, RECORDS), copy: await read(root, COPY) };
  const bytes = new Uint8Array(handle.getSize());
  handle.read(bytes, { at: 0 });
  let end = bytes.length;
  let second = null; // the copy follows the file; what it can't take costs no save
  return {
    role: "writer",
    data: bytes,
    copy: await read(root, COPY),
    // Returns when the bytes are on the disk; if they can't all be, none of them is in the file.
    append(data) {
      try {
        const done = handle.write(data, { at: end });
        if (done !== data.length) throw new DOMException("the write was cut short", "QuotaExceededError");
        handle.flush();
      } catch (error) {
        handle.truncate(end);
        handle.flush();
        throw error;
      }
      end += data.length;
      second?.(data);
    },
    // From here on the second copy follows: it holds so many bytes [byte] that are right, and these come next.
    follow: plain(async (size, data) => {
      const copy = await (await root.getFileHandle(COPY, { create: true })).createSyncAccessHandle();
      let length = size;
      second = (more) => {
        try {
          if (copy.write(more, { at: length }) !== more.length) throw new DOMException("cut short", "QuotaExceededError");
          copy.flush();
          length += more.length;
        } catch (error) {
          console.warn(`the second copy is not kept up: ${error}`);
          copy.truncate(length);
          copy.close();
          second = null;
        }
      };
      copy.truncate(size);
      if (data.length) second(data);
    }),
    cut(size) {
      handle.truncate(size);
      handle.flush();
      end = size;
    },
    aside: plain(async (name, data) => {
      if ((await read(root, name)).length === data.length) return false;
      const copy = await (await root.getFileHandle(name, { create: true })).createSyncAccessHandle();
      try {
        copy.truncate(0);
        copy.write(data, { at: 0 });
        copy.flush();
      } finally {
        copy.close();
      }
      return true;
    }),
  };
});

// The photographs, each a file of its own in one folder. A file counts only once the records say that it is there, and
// they do so after it was flushed; so one that was cut short is written anew, or never looked at.
flet_js.photographs = {
  async keep(name, data) {
    const folder = await photographs();
    const handle = await (await folder.getFileHandle(name, { create: true })).createSyncAccessHandle();
    let whole = false;
    try {
      handle.truncate(0);
      whole = handle.write(data, { at: 0 }) === data.length;
      if (!whole) throw new DOMException("the write was cut short", "QuotaExceededError");
      handle.flush();
    } finally {
      handle.close();
      if (!whole) await folder.removeEntry(name);
    }
  },
  async read(name) {
    return read(await photographs(), name);
  },
  // The browser draws it small: the whole one of each would take more memory than some phones have.
  // Nothing is given for a file that is missing, or is not what its name says.
  async small(name, side) {
    const data = await read(await photographs(), name);
    const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", data));
    const hex = Array.from(hash, (byte) => byte.toString(16).padStart(2, "0")).join("");
    if (!name.startsWith(hex)) return new Uint8Array();
    const whole = await createImageBitmap(new Blob([data]));
    const scale = Math.min(1, side / Math.max(whole.width, whole.height));
    const canvas = new OffscreenCanvas(Math.ceil(whole.width * scale), Math.ceil(whole.height * scale));
    const pen = canvas.getContext("2d");
    pen.fillStyle = "#ffffff";
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.imageSmoothingQuality = "high";
    pen.drawImage(whole, 0, 0, canvas.width, canvas.height);
    whole.close();
    const blob = await canvas.convertToBlob({ type: "image/jpeg", quality: 0.85 });
    return new Uint8Array(await blob.arrayBuffer());
  },
  async remove(name) {
    try {
      await (await photographs()).removeEntry(name);
    } catch (error) {
      if (error.name !== "NotFoundError") throw error;
    }
  },
  async names() {
    const found = [];
    for await (const name of (await photographs()).keys()) found.push(name);
    return JSON.stringify(found);
  },
};
for (const [name, verb] of Object.entries(flet_js.photographs)) flet_js.photographs[name] = plain(verb);

// A full copy is put together in a file of the app's own, which the page then hands over as a download: as a whole it
// never lies in memory. The one before is thrown away.
flet_js.begin_copy = plain(async (name) => {
  const root = await navigator.storage.getDirectory();
  const folder = await root.getDirectoryHandle(COPIES, { create: true });
  for await (const old of folder.keys()) await folder.removeEntry(old);
  const file = await folder.getFileHandle(name, { create: true });
  const handle = await file.createSyncAccessHandle();
  return {
    write(data, at) {
      if (handle.write(data, { at }) !== data.length) throw new DOMException("the write was cut short", "QuotaExceededError");
    },
    read(at, size) {
      const bytes = new Uint8Array(size);
      return bytes.subarray(0, handle.read(bytes, { at }));
    },
    size: () => handle.getSize(),
    close() {
      handle.flush();
      handle.close();
    },
    hand_over: plain(async () => tell({ download: { name, file: await file.getFile() } })),
  };
});

// A copy that was handed over takes room for nothing once the page was opened anew.
flet_js.forget_copies = plain(async () => {
  try {
    await (await navigator.storage.getDirectory()).removeEntry(COPIES, { recursive: true });
  } catch (error) {
    if (error.name !== "NotFoundError") throw error;
  }
});

async function photographs() {
  return (await navigator.storage.getDirectory()).getDirectoryHandle(PHOTOGRAPHS, { create: true });
}

flet_js.tell = (text) => tell(JSON.parse(text));
flet_js.receive_callback = (message) => {
  const bytes = message.toJs();
  self.postMessage(bytes, [bytes.buffer]);
};

// What the settings screen tells: the room that is used and that may be [byte], and whether the browser promised to keep it.
flet_js.room = plain(async () => {
  const { usage, quota } = await navigator.storage.estimate();
  return JSON.stringify({ usage: usage ?? null, quota: quota ?? null, kept: await navigator.storage.persisted() });
});

// So large [px] a photograph is looked at, one after the other: a code that fills it is found in the first, and one that
// is small in the last. Larger ones cost room that old phones don't have.
const LOOKS = [1000, 1800, 2800];

// The texts of the codes on a picture as JSON: none, if there are none; null, if the browser can't open it as a picture.
flet_js.read_codes = async (bytes) => {
  let picture;
  try {
    picture = await createImageBitmap(new Blob([bytes]));
  } catch {
    return "null";
  }
  try {
    const { default: decode } = await import("./qr/decode.js");
    const long = Math.max(picture.width, picture.height);
    for (const most of LOOKS) {
      const share = Math.min(1, most / long);
      const [width, height] = [picture.width, picture.height].map((side) => Math.max(1, Math.round(side * share)));
      const pen = new OffscreenCanvas(width, height).getContext("2d", { willReadFrequently: true });
      pen.imageSmoothingQuality = "high";
      pen.drawImage(picture, 0, 0, width, height);
      try {
        return JSON.stringify([decode(pen.getImageData(0, 0, width, height))]);
      } catch {
        // No code at this size; its own errors say no more than that.
      }
      if (share === 1) break;
    }
    return "[]";
  } finally {
    picture.close();
  }
};

flet_js.ask_to_keep = () => tell({ keep: true });

// Hands a file to another app, by the page's sheet: "sent", "stopped" by the person, or why it could not be.
flet_js.send_file = (name, bytes, words) => new Promise((resolve) => {
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = (event) => resolve(event.data);
  self.postMessage({ fieldBook: { send: { name, bytes, words, port: port2 } } }, [port2]);
});

const RECORDS = "field-book.records";
const COPY = "field-book.records.copy";
const PHOTOGRAPHS = "photographs";
const COPIES = "copies";
const COMPILED = "field-book-compiled-@BUILD@";
const booted = boot();
let asked = false;

self.onmessage = async (event) => {
  if (asked) {
    if (flet_js.send) flet_js.send(event.data);
    return;
  }
  asked = true;
  try {
    const python = await booted;
    flet_js.args = event.data.args;
    flet_js.documentUrl = event.data.documentUrl;
    await python.runPythonAsync("import runpy\nrunpy.run_module('field_app.main', run_name='__main__')");
    await flet_js.start_connection(flet_js.receive_callback);
    self.postMessage("initialized");
  } catch (error) {
    tell({ failed: String(error) });
    self.postMessage(String(error));
  }
};
