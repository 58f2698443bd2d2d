// Reads the code on a label with the camera, where the browser can; without it a photo does.
"use strict";
(() => {
  const area = document.getElementById("scan");
  if (!area || !("BarcodeDetector" in window) || !navigator.mediaDevices) return;
  const video = area.querySelector("video");
  const status = area.querySelector("[role=status]");
  const start = area.querySelector("[data-scan]");
  let stream = null;

  function stop() {
    if (stream) stream.getTracks().forEach(track => track.stop());
    stream = null;
    video.hidden = true;
    start.hidden = false;
  }

  async function watch(detector) {
    while (stream) {
      const found = await detector.detect(video).catch(() => []);
      if (found.length > 0 && stream) {
        const said = found[0].rawValue;
        stop();
        location.assign("/find?label=" + encodeURIComponent(said));
        return;
      }
      await new Promise(done => setTimeout(done, 150));
    }
  }

  async function begin() {
    status.textContent = "";
    try {
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" }, audio: false });
      video.srcObject = stream;
      video.hidden = false;
      start.hidden = true;
      await video.play();
      status.textContent = "Looking for a code.";
      await watch(new window.BarcodeDetector({ formats: ["qr_code"] }));
    } catch (refused) {
      stop();
      status.textContent = "The camera cannot be used: " + refused.message + ". A photo does as well.";
    }
  }

  window.BarcodeDetector.getSupportedFormats().then(formats => {
    area.hidden = !formats.includes("qr_code");
  });
  start.addEventListener("click", begin);
  addEventListener("pagehide", stop);
})();
