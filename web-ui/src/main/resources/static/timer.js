// Clocks that run down when somebody starts them, with a sound at the end; and pages that look again while work goes on.
(function () {
  'use strict';
  var sound = null;

  function ring() {
    if (!sound) return;
    for (var i = 0; i < 3; i++) {
      var tone = sound.createOscillator();
      var loud = sound.createGain();
      tone.frequency.value = 880;
      loud.gain.value = 0.2;
      tone.connect(loud).connect(sound.destination);
      tone.start(sound.currentTime + i * 0.5);
      tone.stop(sound.currentTime + i * 0.5 + 0.3);
    }
  }

  function clock(left) {
    return left < 120 ? left + ' s' : Math.floor(left / 60) + ':' + ('0' + left % 60).slice(-2) + ' min';
  }

  function start(button) {
    var Sound = window.AudioContext || window.webkitAudioContext;
    if (Sound && !sound) sound = new Sound();
    var shown = button.parentNode.querySelector('output');
    var end = Date.now() + Number(button.dataset.timer) * 1000;
    clearInterval(button.running);
    button.textContent = 'Start again';
    function tell() {
      var left = Math.ceil((end - Date.now()) / 1000);
      shown.textContent = left > 0 ? clock(left) : 'Time';
      shown.classList.toggle('over', left <= 0);
      if (left <= 0) {
        clearInterval(button.running);
        ring();
      }
    }
    tell();
    button.running = setInterval(tell, 200);
  }

  document.addEventListener('click', function (event) {
    var button = event.target.closest('button[data-timer]');
    if (button) start(button);
  });

  document.addEventListener('DOMContentLoaded', function () {
    var again = document.querySelector('a[data-again]');
    if (again) setTimeout(function () { location.replace(again.href); }, 1000);
  });
})();
