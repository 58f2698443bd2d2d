// Places in a picture: once a picture is chosen it is shown, and each tap names the next place.
(function () {
  'use strict';

  function draw(canvas, picture, places) {
    var pen = canvas.getContext('2d');
    pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
    places.forEach(function (place, i) {
      var x = place.x / 100 * canvas.width;
      var y = place.y / 100 * canvas.height;
      pen.lineWidth = 3;
      pen.strokeStyle = '#fff';
      pen.strokeRect(x - 12, y - 12, 24, 24);
      pen.lineWidth = 1.5;
      pen.strokeStyle = '#111';
      pen.strokeRect(x - 12, y - 12, 24, 24);
      pen.font = 'bold 16px sans-serif';
      pen.lineWidth = 4;
      pen.strokeStyle = '#fff';
      pen.strokeText(String(i + 1), x + 15, y + 6);
      pen.fillStyle = '#111';
      pen.fillText(String(i + 1), x + 15, y + 6);
    });
  }

  function prepare(field) {
    var form = field.closest('form');
    var chooser = form && form.querySelector('input[type="file"][accept^="image/"]');
    if (!chooser) return;
    var names = field.dataset.places.split('|');
    var box = document.createElement('div');
    box.className = 'places';
    box.hidden = true;
    var ask = document.createElement('p');
    ask.setAttribute('role', 'status');
    var canvas = document.createElement('canvas');
    canvas.setAttribute('role', 'img');
    canvas.setAttribute('aria-label', 'The picture; tap the places in it, or write them into the field');
    var again = document.createElement('button');
    again.type = 'button';
    again.textContent = 'Tap them anew';
    box.append(ask, canvas, again);
    field.closest('label').after(box);
    var picture = null;
    var places = [];

    function tell() {
      ask.textContent = places.length < names.length
        ? 'Tap: ' + names[places.length]
        : 'All tapped: ' + names.map(function (name, i) { return (i + 1) + ' ' + name; }).join(', ');
      field.value = places.map(function (place, i) {
        return names[i] + ' ' + place.x.toFixed(2) + ' ' + place.y.toFixed(2);
      }).join('; ');
      draw(canvas, picture, places);
    }

    chooser.addEventListener('change', function () {
      var file = chooser.files[0];
      if (!file) return;
      createImageBitmap(file).then(function (bitmap) {
        picture = bitmap;
        canvas.width = Math.min(900, bitmap.width);
        canvas.height = Math.round(bitmap.height * canvas.width / bitmap.width);
        box.hidden = false;
        places = [];
        tell();
      }, function () {
        box.hidden = false;
        ask.textContent = 'This picture cannot be shown here. Write the places into the field.';
      });
    });
    canvas.addEventListener('click', function (tap) {
      if (!picture || places.length >= names.length) return;
      var shown = canvas.getBoundingClientRect();
      places.push({
        x: Math.min(100, Math.max(0, (tap.clientX - shown.left) / shown.width * 100)),
        y: Math.min(100, Math.max(0, (tap.clientY - shown.top) / shown.height * 100))
      });
      tell();
    });
    again.addEventListener('click', function () {
      places = [];
      if (picture) tell();
    });
  }

  document.querySelectorAll('input[data-places]').forEach(prepare);
})();
