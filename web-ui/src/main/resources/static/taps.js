// Keeps every tap on the device until the studio has it, and makes one inked hand enough.
// Without this script every form still works as a plain form.
"use strict";
(() => {
  const KEPT = "slabside.taps";
  const RETRY_MS = 2000;
  const STRIP_MS = 5000;
  const DOUBLE_MS = 1500;
  const main = () => document.getElementById("main");
  const store = {
    memory: [],
    all() {
      try { return JSON.parse(localStorage.getItem(KEPT) || "[]").concat(this.memory); } catch { return this.memory; }
    },
    put(list) {
      this.memory = [];
      try { localStorage.setItem(KEPT, JSON.stringify(list)); } catch { this.memory = list; say("This device has no room left: the taps wait in this page only. Leave it open."); }
    },
    add(tap) { this.put([...this.all(), tap]); },
    drop(id) { this.put(this.all().filter(tap => tap.id !== id)); },
    change(id, change) { this.put(this.all().map(tap => (tap.id === id ? { ...tap, ...change } : tap))); },
  };

  // How far this device's clock is off, measured when a page was loaded. A slow network only ever makes it look smaller,
  // so the largest counts; a jump of a minute is a clock that was set.
  let offset = -Infinity;
  const remembered = () => document.body.dataset.remembered === "yes";
  function measure(page) {
    if (remembered()) { offset = Number(localStorage.getItem("slabside.offset") || 0); return; }
    const seen = Number(page.querySelector('meta[name="studio-clock"]').content) - Date.now();
    offset = Math.abs(seen - offset) > 60000 ? seen : Math.max(seen, offset);
    localStorage.setItem("slabside.offset", String(offset));
  }
  measure(document);

  // A UUID of version 7 (RFC 9562) that ends in 00: the id of a tap.
  function tapId() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    let time = Date.now();
    for (let i = 5; i >= 0; i--) { bytes[i] = time % 256; time = Math.floor(time / 256); }
    bytes[6] = (bytes[6] & 0x0f) | 0x70;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    bytes[15] = 0;
    const hex = [...bytes].map(b => b.toString(16).padStart(2, "0")).join("");
    return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
  }

  // ---- what is said at the foot of the page
  const foot = document.createElement("div");
  foot.className = "foot";
  foot.setAttribute("role", "status");
  foot.setAttribute("aria-live", "polite");
  document.body.append(foot);

  function say(text, kind) {
    const line = document.createElement("p");
    line.className = kind || "said";
    line.textContent = text;
    foot.append(line);
    setTimeout(() => line.remove(), STRIP_MS);
  }

  const waiting = document.createElement("section");
  waiting.className = "waiting";
  waiting.hidden = true;
  waiting.setAttribute("aria-label", "Waiting taps");
  document.body.append(waiting);

  function showWaiting() {
    const list = store.all();
    waiting.hidden = list.length === 0;
    waiting.replaceChildren();
    const open = list.filter(tap => !tap.refused);
    if (open.length) {
      const line = document.createElement("p");
      line.textContent = open.length === 1 ? "1 tap waits to be sent. It is kept on this device." : open.length + " taps wait to be sent. They are kept on this device.";
      waiting.append(line);
    }
    for (const tap of list.filter(each => each.refused)) {
      const line = document.createElement("p");
      line.className = "caution";
      line.textContent = "Not written down: " + tap.what + ". " + tap.refused + " ";
      line.append(button("Put it away", () => { store.drop(tap.id); showWaiting(); }));
      waiting.append(line);
    }
    if (open.length && document.body.dataset.uncertified === "yes") {
      const line = document.createElement("p");
      line.textContent = "Leave this page open: without the studio's certificate it does not open again while the studio is off.";
      waiting.append(line);
    }
    document.body.dataset.waiting = String(open.length);
  }

  function button(text, act) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = text;
    made.addEventListener("click", act);
    return made;
  }

  // ---- sending, one after the other, in the order of tapping
  let sending = false;
  async function send() {
    if (sending) return;
    sending = true;
    document.body.dataset.busy = "yes";
    try {
      if (navigator.locks) await navigator.locks.request("slabside-taps", sendAll);
      else await sendAll();
    } finally {
      sending = false;
      document.body.dataset.busy = "no";
    }
  }

  async function sendAll() {
    for (;;) {
      const tap = store.all().find(each => !each.refused);
      if (!tap) break;
      let answer;
      try {
        answer = await fetch(tap.to, { method: "POST", headers: { "Slabside-Tap": "1", "Content-Type": "application/x-www-form-urlencoded" }, body: tap.form, credentials: "same-origin", redirect: "error" });
      } catch {
        showWaiting();
        setTimeout(send, RETRY_MS);
        return;
      }
      if (answer.status === 401) {
        say("This device is not paired with the studio any more: the taps wait here. Pair it again.");
        showWaiting();
        return;
      }
      if (answer.status >= 500 || answer.status === 429) {
        showWaiting();
        setTimeout(send, RETRY_MS);
        return;
      }
      const said = await answer.json().catch(() => ({ problem: "The studio did not understand this (" + answer.status + ")." }));
      if (answer.status === 409) {
        if (await confirmed(said.stops)) {
          const form = new URLSearchParams(tap.form);
          said.stops.forEach(stop => form.append("confirmed", stop.rule));
          store.change(tap.id, { form: form.toString() });
        } else {
          store.drop(tap.id);
          say("Nothing was written.");
          if (!typed()) retype(tap.typed);
        }
        showWaiting();
        continue;
      }
      if (!answer.ok) {
        if (tap.page === location.pathname) {
          store.drop(tap.id);
          refuse(tap, said.problem);
        } else {
          store.change(tap.id, { refused: said.problem });
        }
        showWaiting();
        continue;
      }
      store.drop(tap.id);
      (said.strips || []).forEach(strip => say(strip.text, "strip"));
      if (said.said) say(said.said);
      showWaiting();
      if (tap.page === location.pathname) await go(said.where);
    }
    showWaiting();
  }

  function refuse(tap, problem) {
    if (!typed()) retype(tap.typed);
    document.querySelectorAll(".refused").forEach(old => old.remove());
    const line = document.createElement("p");
    line.className = "caution refused";
    line.setAttribute("role", "alert");
    line.textContent = problem;
    const form = [...document.querySelectorAll("form[data-tap]")].find(each => each.getAttribute("action") === tap.to) || main();
    const last = form.querySelector(".go") || form.lastElementChild;
    last.before(line);
    line.scrollIntoView({ block: "nearest" });
  }

  // One tap to go on, one to leave it; nothing is written before.
  function confirmed(stops) {
    return new Promise(resolve => {
      const dialog = document.createElement("dialog");
      dialog.className = "stop";
      dialog.setAttribute("aria-labelledby", "stop-title");
      const title = document.createElement("h2");
      title.id = "stop-title";
      title.textContent = "Stop and look";
      dialog.append(title);
      stops.forEach(stop => {
        const line = document.createElement("p");
        line.textContent = stop.text;
        line.dataset.rule = stop.rule;
        dialog.append(line);
      });
      const row = document.createElement("div");
      row.className = "row";
      const answer = yes => { dialog.close(); dialog.remove(); resolve(yes); };
      row.append(button("No, put it right", () => answer(false)), button("Yes, that is right", () => answer(true)));
      dialog.append(row);
      dialog.addEventListener("cancel", event => { event.preventDefault(); answer(false); });
      document.body.append(dialog);
      dialog.showModal();
    });
  }

  // The bench form is cleared at the tap, so that the next entry can begin while this one is on its way; what was typed
  // comes back when it was refused, and what was begun since stays when the page is renewed.
  const CLEARED = ["grams", "tare", "reading", "before", "after-reading", "parts", "low", "high", "words", "label"];
  const bench = () => main().querySelector("form.adding");
  function typed() {
    const form = bench();
    if (!form) return null;
    const values = {};
    for (const name of CLEARED) { const each = form.querySelector('[name="' + name + '"]'); if (each && each.value) values[name] = each.value; }
    const from = form.querySelector("[name=from]:checked");
    if (from) values.from = from.value;
    return Object.keys(values).length ? values : null;
  }
  function retype(values) {
    const form = bench();
    if (!form || !values) return;
    for (const [name, value] of Object.entries(values)) {
      if (name === "from") { const radio = form.querySelector('[name=from][value="' + value + '"]'); if (radio) radio.checked = true; }
      else { const each = form.querySelector('[name="' + name + '"]'); if (each) each.value = value; }
    }
    net(form);
  }
  function clear() {
    const form = bench();
    for (const name of CLEARED) { const each = form.querySelector('[name="' + name + '"]'); if (each) each.value = ""; }
    const from = form.querySelector("[name=from]:checked");
    if (from) from.checked = false;
    const last = form.querySelector("[name=finished]");
    if (last) last.checked = false;
    net(form);
    mark();
  }

  // ---- going on without losing the place or the focus
  async function go(where) {
    let answer;
    try {
      answer = await fetch(where, { credentials: "same-origin", headers: { "Slabside-Page": "1" } });
    } catch {
      return;
    }
    if (!answer.ok) { location.assign(where); return; }
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    delete document.body.dataset.remembered;
    measure(page);
    const samePage = new URL(answer.url).pathname === location.pathname;
    const place = samePage ? scrollY : 0;
    const begun = samePage ? typed() : null;
    const way = samePage && bench() && begun ? bench().querySelector("[name=way]:checked").value : null;
    const focus = samePage && document.activeElement && document.activeElement.name;
    main().replaceWith(document.adoptNode(page.getElementById("main")));
    document.title = page.title;
    if (new URL(answer.url).pathname + new URL(answer.url).search !== location.pathname + location.search) {
      if (samePage) history.replaceState(null, "", answer.url); else history.pushState(null, "", answer.url);
    }
    document.querySelectorAll("nav a").forEach(link => {
      const there = page.querySelector('nav a[href="' + link.getAttribute("href") + '"]');
      if (there && there.hasAttribute("aria-current")) link.setAttribute("aria-current", "page"); else link.removeAttribute("aria-current");
    });
    ready();
    scrollTo(0, place);
    if (way) bench().querySelector('[name=way][value="' + way + '"]').checked = true;
    retype(begun);
    if (begun && focus) { const again = bench().querySelector('[name="' + focus + '"]:not([type=radio])'); if (again) again.focus({ preventScroll: true }); }
    mark();
    if (!samePage) { const head = main().querySelector("h1"); if (head) { head.tabIndex = -1; head.focus({ preventScroll: true }); } }
    const told = main().querySelector("[role=status]");
    if (told) told.scrollIntoView({ block: "nearest" });
    document.dispatchEvent(new Event("slabside:fresh"));
  }
  addEventListener("popstate", () => location.reload());

  function keep(form, submitter) {
    const data = new FormData(form, submitter);
    const fields = new URLSearchParams();
    for (const [name, value] of data) if (typeof value === "string") fields.append(name, value);
    const id = tapId();
    const at = Date.now();
    fields.set("tap", id);
    fields.set("at", String(at));
    fields.set("offset", String(Math.round(offset)));
    store.add({ id, to: form.getAttribute("action"), form: fields.toString(), page: location.pathname, typed: form === bench() ? typed() : null, what: (submitter && submitter.textContent.trim()) || "a tap" });
    if (form === bench()) clear();
    return fields;
  }

  let lastPull = 0;
  document.addEventListener("submit", event => {
    const form = event.target;
    if (!form.matches("form[data-tap]")) return;
    event.preventDefault();
    document.querySelectorAll(".refused").forEach(old => old.remove());
    if (form.hasAttribute("data-pull")) {
      const now = Date.now();
      if (now - lastPull < DOUBLE_MS) { say("Twice within a moment: counted once."); return; }
      lastPull = now;
    }
    const fields = keep(form, event.submitter);
    document.dispatchEvent(new CustomEvent("slabside:kept", { detail: { form, fields } }));
    showWaiting();
    send();
  });

  // ---- keypad, can search, sticky choices
  let field = null;
  const numbers = () => [...main().querySelectorAll(".adding [data-number]")].filter(each => each.offsetParent !== null);
  function current() {
    const shown = numbers();
    return field && shown.includes(field) ? field : shown.find(each => each.dataset.number !== "second") || shown[0];
  }

  function press(key) {
    const into = current();
    if (!into) return;
    if (key === "⌫") into.value = into.value.slice(0, -1);
    else if (key === "next") { const shown = numbers(); field = shown[(shown.indexOf(into) + 1) % shown.length]; mark(); return; }
    else into.value += key;
    into.dispatchEvent(new Event("input", { bubbles: true }));
    mark();
  }

  function mark() {
    numbers().forEach(each => each.classList.toggle("typing", each === current()));
  }

  function keypad(box) {
    if (box.childElementCount) return;
    box.hidden = false;
    for (const key of ["7", "8", "9", "4", "5", "6", "1", "2", "3", ".", "0", "⌫"]) {
      const made = button(key, () => press(key));
      if (key === "⌫") made.setAttribute("aria-label", "delete");
      box.append(made);
    }
    const next = button("other field", () => press("next"));
    next.className = "next";
    box.append(next);
  }

  function seek(input) {
    const words = input.value.trim().toLowerCase();
    let exact = null;
    for (const label of main().querySelectorAll(".pick label")) {
      const hit = label.dataset.words.includes(words);
      label.hidden = words !== "" && !hit;
      if (words && label.dataset.label.toLowerCase() === words) exact = label;
    }
    if (exact) {
      exact.querySelector("input").checked = true;
      input.value = "";
      seek(input);
      exact.scrollIntoView({ block: "nearest" });
      const into = current();
      if (into) into.focus();
    }
  }

  function net(form) {
    const out = form.querySelector("[data-net]");
    if (!out) return;
    const reading = form.querySelector("[name=reading]");
    const before = Number((form.querySelector("[name=tare]").value || reading.dataset.before).replace(",", "."));
    const now = Number(reading.value.replace(",", "."));
    out.textContent = reading.value && before && now > before ? "adds " + (now - before).toFixed(2).replace(/0$/, "") + " g" : "";
  }

  document.addEventListener("input", event => {
    if (event.target.matches("[data-seek]")) seek(event.target);
    if (event.target.matches("[data-number]")) net(event.target.form);
    if (event.target.matches("[data-sticky]")) localStorage.setItem("slabside.sticky." + event.target.dataset.sticky, event.target.value);
  });
  document.addEventListener("change", event => {
    if (event.target.matches("[name=way]")) { field = null; mark(); }
    if (event.target.matches(".pick input")) { field = null; mark(); }
  });
  document.addEventListener("focusin", event => {
    if (event.target.matches("[data-number]")) { field = event.target; mark(); }
  });
  document.addEventListener("keydown", event => {
    // A scanner ends with Enter; in the search it picks, and never sends the form.
    if (event.target.matches("[data-seek]") && event.key === "Enter") {
      const shown = [...main().querySelectorAll(".pick label")].filter(label => !label.hidden);
      if (event.target.value.trim() && shown.length === 1) {
        event.preventDefault();
        shown[0].querySelector("input").checked = true;
        event.target.value = "";
        seek(event.target);
        const into = current();
        if (into) into.focus();
      } else if (event.target.value.trim()) {
        event.preventDefault();
      }
    }
  });
  document.addEventListener("click", event => {
    const pick = event.target.closest("[data-pick]");
    if (pick) {
      const radio = main().querySelector('.pick input[value="' + pick.dataset.pick + '"]');
      if (radio) { radio.checked = true; radio.closest("label").scrollIntoView({ block: "nearest" }); field = null; mark(); }
    }
    const timer = event.target.closest("[data-timer]");
    if (timer) ring(timer);
  });

  function ring(timer) {
    let left = Number(timer.dataset.timer);
    timer.disabled = true;
    const tick = setInterval(() => {
      left -= 1;
      timer.textContent = left > 0 ? left + " s" : "Read the diameters now";
      if (left <= 0) { clearInterval(tick); timer.disabled = false; beep(880, 0.6); document.body.classList.add("flash"); setTimeout(() => document.body.classList.remove("flash"), 300); }
    }, 1000);
  }

  let audio = null;
  function beep(pitch, seconds) {
    if (localStorage.getItem("slabside.sticky.sound") === "off") return;
    try {
      audio = audio || new AudioContext();
      const tone = audio.createOscillator();
      const gain = audio.createGain();
      tone.frequency.value = pitch;
      gain.gain.value = 0.08;
      tone.connect(gain).connect(audio.destination);
      tone.start();
      tone.stop(audio.currentTime + seconds);
    } catch { /* a device without sound still flashes */ }
  }

  function ready() {
    main().querySelectorAll("[data-keypad]").forEach(keypad);
    main().querySelectorAll("[data-timer]").forEach(timer => { timer.hidden = false; });
    main().querySelectorAll("[data-sticky]").forEach(each => {
      const value = localStorage.getItem("slabside.sticky." + each.dataset.sticky);
      if (value !== null && (each.tagName !== "SELECT" || [...each.options].some(option => option.value === value))) each.value = value;
    });
    mark();
  }

  window.slabside = { beep, go, say, send, main, button, tapId, offset: () => Math.round(offset), kept: () => store.all() };
  addEventListener("online", send);
  // Pages that were open once open again while the studio is off. Without the studio's certificate a browser refuses this.
  if (navigator.serviceWorker) {
    navigator.serviceWorker.register("/sw.js").catch(() => { document.body.dataset.uncertified = "yes"; });
  } else {
    document.body.dataset.uncertified = "yes";
  }
  if (remembered()) say("The studio does not answer. This page is as it was when it was last open; taps wait on this device.", "strip");
  const code = document.querySelector("[data-code]");
  if (code && location.hash.length > 1) code.value = location.hash.slice(1);
  ready();
  showWaiting();
  send();
})();
