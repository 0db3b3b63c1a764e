// What HTML cannot do. Every page works without this file.
"use strict";
(() => {
  const say = (words) => {
    const live = document.getElementById("live");
    live.textContent = "";
    // An equal text again would not be read out.
    setTimeout(() => { live.textContent = words; uncover(); }, 50);
  };
  // What is said stands at the foot of the window; whatever is being typed moves up from under it.
  const uncover = () => { if (document.activeElement !== document.body) document.activeElement.scrollIntoView({ block: "nearest" }); };
  const toFaults = () => (document.getElementById("faults") ?? document.querySelector("[data-focus]"))?.focus();

  // A form is sent once; its one-time key would make the second sending harmless, but not quick.
  document.addEventListener("submit", (event) => {
    if (event.defaultPrevented) return;
    setTimeout(() => event.target.querySelectorAll("button").forEach((button) => { button.disabled = true; }));
  });
  addEventListener("pageshow", (event) => {
    if (event.persisted) document.querySelectorAll("button:disabled").forEach((button) => { button.disabled = false; });
  });

  // Lists are typed like a sheet: Enter and the arrows lead to the same column of the line below or above.
  const cellOf = (field) => field.matches(":is(.rows, .sheet) tr :is(input, select)[id]") && field.id.match(/^(\D+)(\d+)-(.+)$/);
  document.addEventListener("keydown", (event) => {
    const down = { Enter: 1, ArrowDown: 1, ArrowUp: -1 }[event.key];
    const cell = down && event.target.matches("input") && cellOf(event.target);
    if (!cell) return;
    const next = document.getElementById(`${cell[1]}${Number(cell[2]) + down}-${cell[3]}`);
    if (event.target.list && event.key !== "Enter") return;
    if (event.key === "Enter" || next) event.preventDefault();
    next?.focus();
  });

  // The row that is typed in is the one that the deeds below the rows are about.
  document.addEventListener("focusin", (event) => {
    const at = document.getElementById("at"), cell = at && cellOf(event.target);
    if (cell && cell[1] === "row") at.value = cell[2];
  });
  // Several lines pasted into one cell go to the portal, which lays them out from that cell on.
  document.addEventListener("paste", (event) => {
    const text = event.clipboardData.getData("text"), cell = cellOf(event.target);
    const paste = document.getElementById("paste");
    if (!paste || !cell || cell[1] !== "row" || !/[\n\t]/.test(text.trim())) return;
    event.preventDefault();
    document.getElementById("cells").value = text;
    const cells = [...event.target.closest("tr").querySelectorAll("[id]")].filter((one) => one.checkVisibility());
    document.getElementById("column").value = cells.slice(cells.indexOf(event.target)).map((one) => cellOf(one)[3]).join();
    document.getElementById("at").value = cell[2];
    paste.form.requestSubmit(paste);
  });

  // An address that is shown once has a button that copies it.
  const offerCopies = () => {
    for (const one of navigator.clipboard ? document.querySelectorAll("[data-copy]") : []) {
      const button = Object.assign(document.createElement("button"), { type: "button", className: "second", textContent: one.dataset.copy });
      button.addEventListener("click", async () => { await navigator.clipboard.writeText(one.textContent); say(one.dataset.copied); });
      one.after(button);
      delete one.dataset.copy;
    }
  };
  offerCopies();

  // What draws a part of the page anew while somebody types takes no focus and says nothing.
  const quiet = (event) => event.detail?.ctx?.sourceElement?.matches("[data-quiet]");
  let unfolded = false;

  const failed = (event) => {
    if (quiet(event)) return;
    const method = event.detail?.ctx?.request?.method ?? "GET";
    const { notLoaded, notSaved } = document.getElementById("live").dataset;
    say(method.toUpperCase() === "GET" ? notLoaded : notSaved);
  };
  document.addEventListener("htmx:error", failed);
  document.addEventListener("htmx:response:error", (event) => {
    if (quiet(event)) return;
    const status = event.detail.ctx.response.status;
    if (status === 401) say(document.getElementById("live").dataset.signedOut);
    else if (status >= 500) failed(event);
  });
  const rest = (event, resting) =>
    event.detail.ctx.sourceElement.querySelectorAll("button").forEach((button) => { button.disabled = resting; });
  // A button that sends its form elsewhere does so with script as well.
  document.addEventListener("htmx:config:request", ({ detail: { ctx } }) => {
    ctx.request.action = ctx.request.submitter?.getAttribute("formaction") ?? ctx.request.action;
  });
  document.addEventListener("htmx:before:request", (event) => {
    if (quiet(event)) return;
    document.getElementById("live").textContent = "";
    rest(event, true);
  });
  document.addEventListener("htmx:finally:request", (event) => rest(event, false));
  let shown = location.pathname + location.search;
  document.addEventListener("htmx:before:swap", (event) => {
    if (quiet(event)) unfolded = event.detail.ctx.sourceElement.querySelector("details")?.open;
  });
  document.addEventListener("htmx:after:swap", (event) => {
    if (quiet(event)) {
      event.detail.ctx.sourceElement.querySelectorAll("details").forEach((one) => { one.open = unfolded; });
      return;
    }
    const { redirected, url } = event.detail.ctx.response.raw;
    if (redirected) {
      history.pushState(null, "", url);
      shown = location.pathname + location.search;
      scrollTo({ top: 0, behavior: "instant" });
    }
    watch();
    offerCopies();
    toFaults();
    const news = document.querySelector("[data-announce]");
    if (news) say(news.dataset.announce);
    // Focus must not stay on something that is gone; a heading that has it is read out.
    if (document.activeElement !== document.body) return;
    const place = document.querySelector("#main h1") ?? document.getElementById("main");
    place.tabIndex = -1;
    place.focus({ preventScroll: true });
  });
  // Back to a page that was replaced in part: it is fetched whole.
  addEventListener("popstate", () => { if (location.pathname + location.search !== shown) location.reload(); });

  // What happened meanwhile is said and waits: nothing on the page moves by itself.
  let page, told, stream, clock, wait = 5000;
  const tell = ({ words }) => {
    if (words === told) return;
    told = words;
    const show = document.createElement("a");
    show.href = location.pathname;
    show.textContent = document.getElementById("live").dataset.show;
    document.getElementById("live").replaceChildren(...(words ? [words + " ", show] : []));
    uncover();
  };
  const listen = () => {
    stream?.close();
    stream = null;
    // A page out of sight holds no line: a browser has six for all its tabs.
    if (!page || document.hidden) return;
    if (page.dataset.every) {
      fetch(page.dataset.live).then((answer) => answer.ok && answer.json().then(tell)).catch(() => {});
      return;
    }
    stream = new EventSource(page.dataset.live);
    stream.onmessage = (event) => { wait = 5000; tell(JSON.parse(event.data)); };
    stream.onerror = ({ target }) => {
      if (target !== stream || target.readyState !== EventSource.CLOSED) return;
      setTimeout(listen, wait);
      wait = Math.min(2 * wait, 300000);
    };
  };
  const watch = () => {
    clearInterval(clock);
    page = document.querySelector("[data-live]");
    told = "";
    if (page?.dataset.every) clock = setInterval(listen, page.dataset.every * 1000);
    else listen();
  };
  document.addEventListener("visibilitychange", listen);
  watch();

  toFaults();
  // The browser's own way to the place behind a # takes the focus away again.
  addEventListener("load", () => { if (document.activeElement === document.body) toFaults(); });
})();
