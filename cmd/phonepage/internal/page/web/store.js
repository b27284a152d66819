// What the page keeps on the phone: files as text, the log line by line, and what was known last.
// Never sound. Everything is in one IndexedDB database; each change is one transaction, written
// through to the disk where the browser allows to ask for that.

const name = "clapladder";
let opening;

function database() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(name, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore("texts");
      request.result.createObjectStore("log", { autoIncrement: true });
    };
    request.onsuccess = () => {
      request.result.onversionchange = () => { request.result.close(); opening = undefined; };
      resolve(request.result);
    };
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error("another tab holds an older version of this page; close it"));
  });
  return opening.catch((e) => { opening = undefined; throw full(e); });
}

/** Words for what the browser says when it can't keep something. */
function full(e) {
  const message = e?.name === "QuotaExceededError"
    ? "this phone has no room left for it"
    : `the browser can't keep it (${e?.message || e?.name || e})`;
  return Object.assign(new Error(message), { advice: "save the file, or free some room and try again" });
}

async function change(stores, mode, run) {
  const db = await database();
  return new Promise((resolve, reject) => {
    let result;
    const t = db.transaction(stores, mode, { durability: "strict" });
    t.oncomplete = () => resolve(result?.result);
    t.onabort = () => reject(full(t.error));
    t.onerror = (event) => event.preventDefault();
    try { result = run(t); } catch (e) { t.abort(); reject(full(e)); }
  });
}

/** What is kept as text. Whatever else stands there was not written here: it is no file of any kind, and will be refused as such. */
const text = (kept) => kept === undefined ? undefined : String(kept);

export const texts = {
  get: async (key) => text(await change("texts", "readonly", (t) => t.objectStore("texts").get(key))),
  put: (key, text) => change("texts", "readwrite", (t) => t.objectStore("texts").put(text, key)),
  remove: (key) => change("texts", "readwrite", (t) => t.objectStore("texts").delete(key)),
};

export const log = {
  lines: async () => (await change("log", "readonly", (t) => t.objectStore("log").getAll())).map(text),
  add: (line) => change("log", "readwrite", (t) => t.objectStore("log").add(line)),

  /** Adds what is not there yet, all or nothing, and says how many lines that were. */
  async merge(lines) {
    const had = new Set(await log.lines());
    const fresh = lines.filter((line) => line.trim() && !had.has(line));
    await change("log", "readwrite", (t) => { for (const line of fresh) t.objectStore("log").add(line); });
    return fresh.length;
  },

  /** Takes out the line that was added last and returns it. */
  async undo() {
    let taken;
    await change("log", "readwrite", (t) => {
      t.objectStore("log").openCursor(null, "prev").onsuccess = ({ target: { result: cursor } }) => {
        if (cursor) { taken = text(cursor.value); cursor.delete(); }
      };
    });
    return taken;
  },

  /** Takes out lines that read as given. */
  forget: (lines) => change("log", "readwrite", (t) => {
    const gone = new Set(lines);
    t.objectStore("log").openCursor().onsuccess = ({ target: { result: cursor } }) => {
      if (!cursor) return;
      if (gone.has(text(cursor.value))) cursor.delete();
      cursor.continue();
    };
  }),
};
