// The page of the day: findings wait on the phone while there is no connection, and one sheet can be kept.
"use strict";
(() => {
  const day = document.getElementById("day");
  const { scope, sheet, who } = day.dataset;
  const WORDS = { checked: "Checked", problem: "Problem" };
  const RETRY_MS = 20000;

  // --- findings

  const opened = new Promise((done, fail) => {
    const asked = indexedDB.open("line-check", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("waiting", { keyPath: "form_key" });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
  });
  const store = async (mode, deed) => {
    const database = await opened;
    return new Promise((done, fail) => {
      const asked = deed(database.transaction("waiting", mode).objectStore("waiting"));
      asked.transaction.oncomplete = () => done(asked.result);
      asked.transaction.onabort = () => fail(asked.transaction.error);
    });
  };
  const ours = async () => (await store("readonly", (rows) => rows.getAll()))
    .filter((one) => one.scope === scope).sort((one, other) => one.said_at.localeCompare(other.said_at));
  const newKey = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");

  const show = async () => {
    const rows = await ours();
    const refused = rows.filter((one) => one.refused);
    const waiting = rows.length - refused.length;
    const words = [];
    if (waiting) words.push(`${waiting === 1 ? "One finding waits" : `${waiting} findings wait`} on this phone. Sent when there is a connection.`);
    for (const one of refused) words.push(`Not taken: ${one.label}, ${WORDS[one.state]} ${one.gain} ${one.note}. Load the page again and tick it there.`);
    const place = document.getElementById("waiting");
    if (place.textContent !== words.join(" ")) place.textContent = words.join(" ");
  };

  const mark = (one, waits) => {
    const row = document.getElementById(`line-${one.line}`);
    if (!row) return;
    const summary = row.querySelector("summary");
    let found = summary.querySelector(`[data-key="${one.form_key}"]`);
    if (!found) {
      summary.querySelectorAll("[data-key], .mine").forEach((old) => old.remove());
      summary.childNodes.forEach((node) => { if (node.nodeType === Node.TEXT_NODE) node.remove(); });
      found = document.createElement("span");
      found.dataset.key = one.form_key;
      summary.prepend(found);
    }
    const at = new Date(one.said_at).toLocaleTimeString("en-GB", { timeStyle: "short" });
    found.className = `found ${one.state}${waits ? " waiting" : ""}`;
    found.textContent = `${WORDS[one.state]} ${at}, ${one.who || who}${waits ? ", waits here" : ""}`;
  };

  let sending = null;
  const send = async () => {
    for (const one of await ours()) {
      if (one.refused) continue;
      const { scope: _scope, action, label: _label, ...fields } = one;
      let answer;
      try {
        answer = await fetch(action, { method: "POST", body: new URLSearchParams(fields), redirect: "manual" });
      } catch {
        break;
      }
      // The way back to the page means that it is kept; it need not be loaded.
      if (answer.type === "opaqueredirect") {
        await store("readwrite", (rows) => rows.delete(one.form_key));
        mark(one, false);
      } else if (answer.status >= 500 || answer.status === 429) {
        break;
      } else {
        await store("readwrite", (rows) => rows.put({ ...one, refused: answer.status }));
      }
    }
    await show();
  };
  const sendAll = () => { sending ??= send().finally(() => { sending = null; }); return sending; };

  opened.then(() => {
    // Below the document, so that this is heard before the page's own hand on sending.
    day.addEventListener("submit", async (event) => {
      const form = event.target;
      if (form.method !== "post") return;
      event.preventDefault();
      const fields = Object.fromEntries(new FormData(form, event.submitter));
      const one = { ...fields, form_key: newKey(), said_at: new Date().toISOString(), scope, action: form.getAttribute("action"), label: form.dataset.line };
      await store("readwrite", (rows) => rows.put(one));
      form.querySelectorAll("[name=gain], [name=note]").forEach((field) => { field.value = ""; });
      form.querySelector("details").open = false;
      mark(one, true);
      await sendAll();
      // What was put away while the last one was on its way.
      await sendAll();
    });
    ours().then((rows) => { rows.forEach((one) => mark(one, true)); sendAll(); });
    addEventListener("online", sendAll);
    setInterval(async () => { if ((await ours()).some((one) => !one.refused)) sendAll(); }, RETRY_MS);
  }, () => { /* Without a database the forms are sent as they are. */ });

  // --- the sheet

  const KEPT = `kept ${scope}`;
  const place = day.querySelector("[data-keep]");
  if (!("serviceWorker" in navigator) || !("caches" in window)) return;
  const [keep, remove] = ["keep", "remove"].map((deed) => place.querySelector(`[data-deed=${deed}]`));
  const told = document.getElementById("kept");
  place.hidden = false;

  const look = async (words = "") => {
    const cache = await caches.has(KEPT) ? await caches.open(KEPT) : null;
    const [kept] = cache ? await cache.keys() : [];
    const current = kept && new URL(kept.url).pathname === sheet;
    keep.hidden = Boolean(current);
    remove.hidden = !kept;
    keep.textContent = kept && !current ? "Keep this revision instead" : "Keep on this phone";
    told.textContent = words || (current ? "This revision is kept on this phone." : kept ? "An older revision is kept on this phone." : "");
  };
  keep.addEventListener("click", async () => {
    try {
      await navigator.serviceWorker.register("/day-worker.js", { scope });
      const answer = await fetch(sheet, { redirect: "error" });
      if (!answer.ok) throw new Error(answer.status);
      const headers = new Headers(answer.headers);
      headers.set("Kept-At", new Date().toISOString());
      const cache = await caches.open(KEPT);
      for (const old of await cache.keys()) await cache.delete(old);
      await cache.put(sheet, new Response(await answer.blob(), { headers }));
      await look();
    } catch {
      await look("Not kept: this browser or the connection does not allow it. Download the PDF or the file.");
    }
  });
  remove.addEventListener("click", async () => {
    await caches.delete(KEPT);
    await (await navigator.serviceWorker.getRegistration(scope))?.unregister();
    await look("Removed from this phone.");
  });
  look();
})();
