// What is typed into a form that holds much (data-unsaved) stays in this browser until it is saved, and is offered again. Signing out (data-forget) drops it.
"use strict";
(() => {
  const KEPT = "unsaved ";
  const LONGEST_MS = 14 * 24 * 3600 * 1000;
  const QUIET_MS = 400;
  const keyOf = (form) => KEPT + form.getAttribute("action");
  // A browser may refuse to store anything; then it warns whoever leaves.
  const read = (key) => { try { return JSON.parse(localStorage.getItem(key)); } catch { return null; } };
  const drop = (key) => { try { localStorage.removeItem(key); } catch { /* Nothing is there. */ } };
  const keys = () => { try { return Object.keys(localStorage).filter((key) => key.startsWith(KEPT)); } catch { return []; } };

  // Which entry is of this page; another one waits until somebody takes it or drops it.
  let own = "", waiting = null, clock;
  const warn = (event) => event.preventDefault();
  const keep = (form) => {
    const key = keyOf(form);
    let kept = own === key || !read(key);
    if (kept) {
      try {
        localStorage.setItem(key, JSON.stringify({ at: Date.now(), fields: [...new FormData(form)] }));
        own = key;
      } catch { kept = false; }
    }
    (kept ? removeEventListener : addEventListener)("beforeunload", warn);
  };
  const keepNow = () => {
    clearTimeout(clock);
    if (waiting) keep(waiting);
    waiting = null;
  };
  const versionOf = (fields) => fields.find(([name]) => name === "form_version")?.[1];
  const done = (form) => {
    waiting = null;
    drop(keyOf(form));
    own = "";
    removeEventListener("beforeunload", warn);
  };

  const look = () => {
    const form = document.querySelector("form[data-unsaved]"), offer = document.getElementById("typed-before");
    if (!form) return;
    const key = keyOf(form);
    let before = own !== key && read(key);
    // Whoever typed it has saved the rig since: it is not newer than what is there.
    if (before && form.dataset.mine && versionOf(before.fields) !== versionOf([...new FormData(form)])) {
      drop(key);
      before = null;
      offer.hidden = true;
    }
    if (before) {
      offer.querySelector("b").textContent = new Date(before.at).toLocaleString(document.documentElement.lang === "en" ? "en-GB" : document.documentElement.lang, { dateStyle: "medium", timeStyle: "short" });
      offer.hidden = false;
    }
    // The portal drew what was typed again, and has not saved it.
    if (form.dataset.unsaved) keep(form);
  };
  document.addEventListener("input", ({ target }) => {
    if (!target.name || !target.form?.matches("[data-unsaved]") || target.closest(".deeds")) return;
    waiting = target.form;
    clearTimeout(clock);
    clock = setTimeout(keepNow, QUIET_MS);
  });
  addEventListener("pagehide", keepNow);
  document.addEventListener("visibilitychange", keepNow);
  document.addEventListener("click", ({ target }) => {
    if (!target.matches("#typed-before button")) return;
    const offer = target.form, key = keyOf(offer);
    if (target.type === "button") {
      drop(key);
      offer.hidden = true;
      return;
    }
    // The portal draws the form with it, however many rows and folds it had.
    own = key;
    offer.append(...read(key).fields.map(([name, value]) => Object.assign(document.createElement("input"), { type: "hidden", name, value })));
  });
  document.addEventListener("submit", ({ target }) => {
    if (!target.matches("[data-forget]")) return;
    waiting = null;
    keys().forEach(drop);
  });
  // Only before the swap is the form that was sent still there. Led onward, it is saved.
  document.addEventListener("htmx:before:swap", ({ detail: { ctx } }) => {
    const { redirected, url } = ctx.response.raw;
    const sent = ctx.sourceElement;
    if (redirected && sent.matches("[data-unsaved]") && new URL(url).pathname.startsWith(sent.getAttribute("action"))) done(sent);
  });
  document.addEventListener("htmx:after:swap", () => {
    if (!waiting?.isConnected) waiting = null;
    look();
  });
  keys().filter((key) => Date.now() - (read(key)?.at ?? 0) > LONGEST_MS).forEach(drop);
  look();
})();
