// What HTML cannot do. Every page works without this file.
"use strict";
(() => {
  const say = (words) => {
    const live = document.getElementById("live");
    live.textContent = "";
    // An equal text again would not be read out.
    setTimeout(() => { live.textContent = words; }, 50);
  };
  const toFaults = () => (document.getElementById("faults") ?? document.querySelector("[data-focus]"))?.focus();

  // A form is sent once; its one-time key would make the second sending harmless, but not quick.
  document.addEventListener("submit", (event) => {
    if (event.defaultPrevented) return;
    setTimeout(() => event.target.querySelectorAll("button").forEach((button) => { button.disabled = true; }));
  });
  addEventListener("pageshow", (event) => {
    if (event.persisted) document.querySelectorAll("button:disabled").forEach((button) => { button.disabled = false; });
  });

  const failed = (event) => {
    const method = event.detail?.ctx?.request?.method ?? "GET";
    say(method.toUpperCase() === "GET" ? "Not loaded. Try again." : "Not saved. Try again.");
  };
  document.addEventListener("htmx:error", failed);
  document.addEventListener("htmx:response:error", (event) => {
    const status = event.detail.ctx.response.status;
    if (status === 401) say("Not saved. You are signed out: sign in in another tab, then try again.");
    else if (status >= 500) failed(event);
  });
  document.addEventListener("htmx:before:request", () => { document.getElementById("live").textContent = ""; });
  document.addEventListener("htmx:after:swap", (event) => {
    toFaults();
    const news = document.querySelector("[data-announce]");
    if (news) say(news.dataset.announce);
    // Focus must not stay on something that is gone.
    if (document.activeElement === document.body) document.getElementById("main").focus({ preventScroll: true });
  });

  toFaults();
  // The browser's own way to the place behind a # takes the focus away again.
  addEventListener("load", () => { if (document.activeElement === document.body) toFaults(); });
})();
