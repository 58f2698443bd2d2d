// Photos and voice memos: kept on the device until the studio has them, then sent once.
// Without this script a photo is sent as a plain form.
"use strict";
(() => {
  const { say, main, go, button, tapId, offset } = window.slabside;
  const RETRY_MS = 3000;
  const LONGEST_MS = 5 * 60000;

  // ---- the shelf for what waits; in this page only, when the device keeps nothing
  let passing = [];
  const shelf = () => new Promise((done, fail) => {
    const opening = indexedDB.open("slabside-media", 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore("media", { keyPath: "id" });
    opening.onsuccess = () => done(opening.result);
    opening.onerror = () => fail(opening.error);
  });
  async function act(mode, what) {
    const open = await shelf();
    try {
      return await new Promise((done, fail) => {
        const deed = open.transaction("media", mode);
        const asked = what(deed.objectStore("media"));
        deed.oncomplete = () => done(asked.result);
        deed.onerror = deed.onabort = () => fail(deed.error);
      });
    } finally { open.close(); }
  }
  async function all() {
    const kept = await act("readonly", store => store.getAll()).catch(() => []);
    return [...kept, ...passing].sort((a, b) => (a.id < b.id ? -1 : 1));
  }
  async function put(item) {
    passing = passing.filter(each => each.id !== item.id);
    await act("readwrite", store => store.put(item)).catch(() => {
      passing.push(item);
      say("This device keeps nothing: the photo or memo waits in this page only. Leave it open.");
    });
  }
  async function drop(id) {
    passing = passing.filter(each => each.id !== id);
    await act("readwrite", store => store.delete(id)).catch(() => null);
  }

  const waiting = document.createElement("section");
  waiting.className = "waiting";
  waiting.hidden = true;
  waiting.setAttribute("aria-label", "Waiting photos and memos");
  document.body.append(waiting);

  async function show() {
    const list = await all();
    waiting.replaceChildren();
    waiting.hidden = list.length === 0;
    const open = list.filter(each => !each.refused).length;
    if (open) {
      const line = document.createElement("p");
      line.textContent = open === 1 ? "1 photo or memo waits to be sent. It is kept on this device." : open + " photos and memos wait to be sent. They are kept on this device.";
      waiting.append(line);
    }
    for (const each of list.filter(one => one.refused)) {
      const line = document.createElement("p");
      line.className = "caution";
      line.textContent = "Not kept: " + each.refused + " ";
      line.append(button("Put it away", async () => { await drop(each.id); show(); }));
      waiting.append(line);
    }
    document.body.dataset.media = String(open);
  }

  let sending = false;
  async function send() {
    if (sending) return;
    sending = true;
    try {
      if (navigator.locks) await navigator.locks.request("slabside-media", sendAll);
      else await sendAll();
    } finally { sending = false; show(); }
  }
  async function sendAll() {
    for (;;) {
      const item = (await all()).find(each => !each.refused);
      if (!item) return;
      const form = new FormData();
      for (const [name, value] of Object.entries(item.fields)) form.append(name, value);
      form.append("file", item.file, "file");
      const answer = await fetch("/attach", { method: "POST", headers: { "Slabside-Tap": "1" }, body: form, credentials: "same-origin" }).catch(() => null);
      if (!answer || answer.status >= 500 || answer.status === 401 || answer.status === 429) { setTimeout(send, RETRY_MS); return; }
      const said = await answer.json().catch(() => ({ problem: "The studio did not understand this (" + answer.status + ")." }));
      if (!answer.ok) { await put({ ...item, refused: said.problem }); continue; }
      await drop(item.id);
      say(said.said);
      if (item.page === location.pathname) await go(said.where);
    }
  }

  async function keep(form, file) {
    const id = tapId();
    const fields = { tap: id, at: String(Date.now()), offset: String(offset()) };
    for (const name of ["thing", "back", "name"]) { const each = form.querySelector('[name="' + name + '"]'); if (each && each.value) fields[name] = each.value; }
    await put({ id, fields, file, page: location.pathname });
    form.reset();
    await show();
    send();
  }

  document.addEventListener("submit", event => {
    const form = event.target;
    if (!form.matches("form[data-media]")) return;
    event.preventDefault();
    const file = form.querySelector("[type=file]").files[0];
    if (!file) { say("Take or choose a photo first."); return; }
    keep(form, file);
  });

  // ---- a memo is recorded by one tap and ended by another
  let recorder = null;
  document.addEventListener("click", async event => {
    const record = event.target.closest("[data-record]");
    if (!record) return;
    if (recorder) { recorder.stop(); return; }
    let sound;
    try {
      sound = await navigator.mediaDevices.getUserMedia({ audio: true });
    } catch {
      say("The microphone cannot be used here. Without the studio's certificate a browser does not open it.");
      return;
    }
    const form = record.closest("form");
    const parts = [];
    recorder = new MediaRecorder(sound);
    recorder.addEventListener("dataavailable", part => parts.push(part.data));
    recorder.addEventListener("stop", () => {
      sound.getTracks().forEach(track => track.stop());
      const file = new Blob(parts, { type: recorder.mimeType });
      recorder = null;
      record.setAttribute("aria-pressed", "false");
      record.textContent = "Record a memo";
      if (file.size) keep(form, file);
    });
    recorder.start();
    record.setAttribute("aria-pressed", "true");
    record.textContent = "Recording… tap to end";
    setTimeout(() => { if (recorder && recorder.state === "recording") recorder.stop(); }, LONGEST_MS);
  });

  function ready() {
    const can = navigator.mediaDevices && window.MediaRecorder;
    main().querySelectorAll("[data-record]").forEach(each => { each.hidden = !can; });
  }
  document.addEventListener("slabside:fresh", ready);
  addEventListener("online", send);
  ready();
  show().then(send);
})();
