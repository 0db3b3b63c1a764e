// The page of the day: findings wait on the phone while there is no connection, what others found comes in by itself, and the page can be kept.
"use strict";
(() => {
  const day = document.getElementById("day");
  const { scope, sheet, who, by, found: foundAt } = day.dataset;
  const finder = (one) => (one.who ? one.who + by : who);
  // A text of the page with its slots filled.
  const text = (name, slots = {}) => day.dataset[name].replace(/\{(\w+)\}/g, (_, slot) => slots[slot]);
  const clock = new Intl.DateTimeFormat(document.documentElement.lang === "en" ? "en-GB" : document.documentElement.lang, { timeStyle: "short" });
  const RETRY_MS = 20000;
  const put = (id, words) => { const place = document.getElementById(id); if (place && place.textContent !== words) place.textContent = words; };

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
    if (waiting) words.push(waiting === 1 ? text("oneWaits") : text("someWait", { count: waiting }));
    for (const one of refused) words.push(text("refused", { line: one.label, finding: `${text(one.state)} ${one.gain} ${one.note}` }));
    put("waiting", words.join(" "));
  };

  // How far the line check is. A line with a problem is not checked, whoever else ticked it.
  const count = () => {
    const lines = [...day.querySelectorAll("tr[id^=line-]")];
    const problems = lines.filter((line) => line.querySelector(".found.problem")).length;
    const checked = lines.filter((line) => line.querySelector(".found.checked") && !line.querySelector(".found.problem")).length;
    const words = text("counts", { checked, count: lines.length });
    put("counts", problems ? text("problems", { words, problems }) : `${words}.`);
  };

  // One person's last word on a line, in place of an earlier one.
  const mark = (line, { state, words, name, waits = false }) => {
    const standing = document.getElementById(`line-${line}`)?.querySelector(".standing");
    if (!standing) return;
    const found = [...standing.children].find((one) => one.dataset.who === name) ?? document.createElement("span");
    found.dataset.who = name;
    found.className = `found ${state}${waits ? " waiting" : ""}`;
    found.textContent = words;
    standing.append(found);
  };
  const markOwn = (one, waits) => {
    const name = finder(one);
    const more = [one.gain && text("gain", { gain: one.gain }), one.note].filter(Boolean).join(". ");
    const finding = `${text(one.state)} ${clock.format(new Date(one.said_at))}, ${name}`;
    mark(one.line, { state: one.state, words: `${waits ? text("waits", { finding }) : finding}${more && `. ${more}`}`, name, waits });
    count();
  };

  // The one form for a problem, a gain or a note comes to the line that is meant, and goes back when it is sent.
  const report = document.getElementById("report");
  const linkTo = (line) => document.querySelector(`[data-report="${line}"]`);
  const bring = (line, place) => {
    report.elements.line.value = line;
    place.append(report);
    report.elements.gain.focus();
  };
  const sendBack = () => {
    const link = linkTo(report.elements.line.value);
    document.getElementById("report-place").append(report);
    report.elements.line.value = "";
    link?.focus();
  };
  day.addEventListener("click", (event) => {
    const link = event.target.closest("[data-report]");
    if (!link) return;
    event.preventDefault();
    const place = link.closest("td");
    if (place.contains(report)) sendBack();
    else bring(link.dataset.report, place);
  });

  // What others found meanwhile. What waits here is newer than anything the portal knows of this person.
  const hear = async () => {
    if (document.visibilityState !== "visible") return;
    let told;
    try {
      const answer = await fetch(foundAt);
      if (!answer.ok || answer.redirected) return;
      told = await answer.json();
    } catch {
      return;
    }
    const waiting = new Set((await ours()).filter((one) => !one.refused).map((one) => `${one.line} ${finder(one)}`));
    for (const [line, several] of Object.entries(told.lines)) {
      for (const [state, words, name] of several) if (!waiting.has(`${line} ${name}`)) mark(line, { state, words, name });
    }
    count();
    if (told.sheet !== sheet && !foundAt.includes("draft=1")) put("news", text("movedOn"));
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
        markOwn(one, false);
      } else if (answer.status === 401) {
        put("news", text("signedOut"));
        break;
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
      const one = { ...fields, form_key: newKey(), said_at: new Date().toISOString(), scope, action: form.getAttribute("action"), label: form.dataset.line ?? form.elements.line.selectedOptions[0].text };
      if (!one.line) return form.elements.line.focus();
      await store("readwrite", (rows) => rows.put(one));
      if (form === report) {
        report.elements.gain.value = report.elements.note.value = "";
        sendBack();
      }
      markOwn(one, true);
      await sendAll();
      // What was put away while the last one was on its way.
      await sendAll();
    });
    ours().then((rows) => { rows.filter((one) => !one.refused).forEach((one) => markOwn(one, true)); sendAll(); });
    addEventListener("online", sendAll);
    setInterval(async () => { if ((await ours()).some((one) => !one.refused)) await sendAll(); await hear(); }, RETRY_MS);
    document.addEventListener("visibilitychange", hear);
  }, () => { /* Without a database the forms are sent as they are. */ });

  // --- the page, kept

  const KEPT = `kept ${scope}`;
  const place = day.querySelector("[data-keep]");
  if (!("serviceWorker" in navigator) || !("caches" in window)) return;
  const [keep, remove] = ["keep", "remove"].map((deed) => place.querySelector(`[data-deed=${deed}]`));
  const parts = () => [...document.querySelectorAll("link[rel=stylesheet], script[src]")].map((one) => one.href || one.src);
  place.hidden = false;

  const look = async (words = "") => {
    const kept = await caches.has(KEPT) && await (await caches.open(KEPT)).match(scope);
    keep.hidden = Boolean(kept);
    remove.hidden = !kept;
    put("kept", words || (kept ? text("kept") : ""));
  };
  // What the page is made of goes along, and what an earlier page was made of goes away.
  const keepParts = async (cache) => {
    const wanted = parts();
    for (const one of await cache.keys()) if (new URL(one.url).pathname !== scope && !wanted.includes(one.url)) await cache.delete(one);
    for (const one of wanted) if (!await cache.match(one)) await cache.add(one);
  };
  keep.addEventListener("click", async () => {
    try {
      await navigator.serviceWorker.register("/day-worker.js", { scope });
      const answer = await fetch(location.href, { redirect: "error" });
      if (!answer.ok) throw new Error(answer.status);
      const headers = new Headers(answer.headers);
      headers.set("Kept-At", new Date().toISOString());
      const cache = await caches.open(KEPT);
      await cache.put(scope, new Response(await answer.blob(), { headers }));
      await keepParts(cache);
      await look();
    } catch {
      await caches.delete(KEPT);
      await look(text("notKept"));
    }
  });
  remove.addEventListener("click", async () => {
    await caches.delete(KEPT);
    await (await navigator.serviceWorker.getRegistration(scope))?.unregister();
    await look(text("removed"));
  });
  (async () => { if (await caches.has(KEPT)) await keepParts(await caches.open(KEPT)).catch(() => {}); await look(); })();
})();
