// At the press: keys and a pedal, the count at once, and what another device wrote.
"use strict";
(() => {
  const { say, main, beep } = window.slabside;
  let live = null;
  let lock = null;

  const typing = target => target.closest("input, select, textarea, [contenteditable], dialog");

  // Sound and single keys can be turned off on each device.
  const off = what => localStorage.getItem("slabside.sticky." + what) === "off";
  function switches() {
    for (const what of ["sound", "keys"]) {
      const button = main().querySelector("[data-" + what + "]");
      if (!button) continue;
      button.hidden = false;
      button.setAttribute("aria-pressed", String(!off(what)));
      button.textContent = (what === "sound" ? "Sound" : "Single keys") + (off(what) ? " off" : " on");
    }
    const skip = main().querySelector("[data-skip]");
    if (skip) skip.hidden = false;
  }
  // How many pulls between two looks is settled on each device.
  function looks() {
    const every = Number(localStorage.getItem("slabside.sticky.look") || 5);
    main().querySelectorAll("[data-since]").forEach(each => { each.hidden = every === 0 || Number(each.dataset.since) < every; });
    main().querySelectorAll("[data-look-every]").forEach(each => { each.hidden = false; });
  }
  document.addEventListener("change", event => { if (event.target.matches("[data-sticky=look]")) looks(); });
  document.addEventListener("input", event => { if (event.target.matches("[data-sticky=look]")) looks(); });
  document.addEventListener("click", event => {
    for (const what of ["sound", "keys"]) {
      if (event.target.closest("[data-" + what + "]")) { localStorage.setItem("slabside.sticky." + what, off(what) ? "on" : "off"); switches(); }
    }
    // A skipped sheet goes behind the others; it is still to come.
    if (event.target.closest("[data-skip]")) {
      const sheet = main().querySelector("[data-sheet]");
      const gone = sheet && sheet.selectedOptions[0];
      if (gone && gone.value) {
        const next = gone.nextElementSibling;
        sheet.insertBefore(gone, sheet.lastElementChild);
        if (next) sheet.value = next.value || sheet.options[0].value;
        shown();
      }
    }
  });

  document.addEventListener("keydown", event => {
    if (!main().querySelector("[data-press]") || event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
    if (typing(event.target) || (event.key.length === 1 && event.key !== " " && off("keys"))) return;
    const isControl = event.target.closest("a, button, summary");
    let key = event.key.toLowerCase();
    if (key === " " || key === "enter") {
      if (isControl && !event.target.matches("[data-key=pull]")) return;
      key = "pull";
    }
    const button = main().querySelector('[data-key="' + CSS.escape(key) + '"]');
    if (button && !button.closest("[hidden]")) { event.preventDefault(); button.click(); }
  });

  // The count moves at once; the studio's answer then replaces it.
  document.addEventListener("slabside:kept", event => {
    const { form, fields } = event.detail;
    if (!form.hasAttribute("data-pull")) return;
    beep(fields.get("grade") === "good" ? 660 : 330, 0.12);
    const pull = form.querySelector(".pull");
    pull.classList.add("flash");
    setTimeout(() => pull.classList.remove("flash"), 150);
    if (fields.get("grade") === "hit") return;
    const sheet = form.querySelector("[data-sheet]");
    if (fields.get("mode") === "edition") {
      const count = main().querySelector("[data-count]");
      count.textContent = String(Number(count.textContent) + 1);
    }
    if (sheet && sheet.value) {
      const gone = sheet.selectedOptions[0];
      const next = gone.nextElementSibling;
      if (fields.get("mode") === "edition") gone.remove();
      if (next) sheet.value = next.value;
      shown();
    }
    wake();
  });

  function shown() {
    const sheet = main().querySelector("[data-sheet]");
    const next = main().querySelector("[data-next]");
    if (sheet && next) next.textContent = sheet.value ? sheet.selectedOptions[0].textContent : "";
  }
  document.addEventListener("change", event => { if (event.target.matches("[data-sheet]")) shown(); });

  async function wake() {
    if (lock || !navigator.wakeLock) return;
    try { lock = await navigator.wakeLock.request("screen"); lock.addEventListener("release", () => { lock = null; }); } catch { lock = null; }
  }

  // What another device wrote: only what stands still is replaced, never a field somebody types in.
  async function refresh() {
    if (window.slabside.kept().length) return;
    const answer = await fetch(location.href, { credentials: "same-origin" }).catch(() => null);
    if (!answer || !answer.ok) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    main().querySelectorAll("[data-live][id]").forEach(old => {
      const fresh = page.getElementById(old.id);
      if (fresh && !old.contains(document.activeElement)) old.replaceWith(document.adoptNode(fresh));
    });
    looks();
    const sheets = main().querySelector("[data-sheet]");
    const fresh = page.querySelector("[data-sheet]");
    if (sheets && fresh) {
      const chosen = sheets.value;
      sheets.replaceChildren(...[...fresh.options].map(option => document.adoptNode(option)));
      if ([...sheets.options].some(option => option.value === chosen)) sheets.value = chosen; else sheets.selectedIndex = 0;
      shown();
    }
  }

  function watch() {
    const press = main().querySelector("[data-press]");
    const id = press ? press.dataset.press : "";
    if (live && live.run === id) return;
    if (live) { live.source.close(); live = null; }
    if (!id) return;
    const source = new EventSource("/press/" + id + "/live");
    source.addEventListener("changed", refresh);
    // Written between the making of this page and its watching, or while the connection was lost.
    source.addEventListener("watching", event => {
      const now = main().querySelector("[data-press]");
      if (now && Number(event.data) > Number(now.dataset.position)) refresh();
    });
    live = { run: id, source };
  }

  document.addEventListener("slabside:fresh", () => { watch(); shown(); switches(); looks(); });
  addEventListener("pagehide", () => { if (live) live.source.close(); });
  watch();
  shown();
  switches();
  looks();
})();
