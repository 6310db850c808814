/* Sends each picture straight to the job. Plain old script, for old phones. The token stays in the fragment. */
(function () {
  "use strict";
  var token = location.hash.slice(1);
  var state = document.getElementById("state");
  var sent = document.getElementById("sent");
  var camera = document.getElementById("camera");
  var job = document.getElementById("job");
  var count = 0;

  function say(text, bad) {
    state.textContent = text;
    state.className = bad ? "bad" : "";
  }

  function ask(method, path, body, done, name) {
    var request = new XMLHttpRequest();
    request.open(method, path);
    request.setRequestHeader("X-Drop-Token", token);
    if (name) { request.setRequestHeader("X-File-Name", encodeURIComponent(name)); }
    if (body) { request.setRequestHeader("Content-Type", body.type || "application/octet-stream"); }
    request.timeout = 120000;
    request.upload.onprogress = function (event) {
      if (body && event.lengthComputable) { say("Sending " + Math.round(100 * event.loaded / event.total) + " %"); }
    };
    request.onload = function () {
      var answer = {};
      try { answer = JSON.parse(request.responseText); } catch (error) { answer = {}; }
      done(request.status, answer);
    };
    request.onerror = request.ontimeout = function () { done(0, {}); };
    request.send(body || null);
  }

  function retry(row, picture) {
    var button = document.createElement("button");
    button.textContent = "Send again";
    button.onclick = function () { row.removeChild(button); send(row, picture, 0); };
    row.appendChild(button);
  }

  function send(row, picture, tries) {
    ask("POST", "photo", picture, function (status, answer) {
      if (status === 200) {
        count += 1;
        row.textContent = answer.said || "In the job";
        if (answer.thumbnail) {
          var image = document.createElement("img");
          image.alt = "";
          image.src = "data:image/jpeg;base64," + answer.thumbnail;
          row.insertBefore(image, row.firstChild);
        }
        say(count + (count === 1 ? " picture" : " pictures") + " in the job");
      } else if ((status === 0 || status === 503) && tries < 5) {
        say("Trying again");
        setTimeout(function () { send(row, picture, tries + 1); }, 1000 * (tries + 1));
      } else {
        row.textContent = "Not sent. ";
        say(answer.said || "The bench does not answer. Your picture is still here.", true);
        if (status !== 415 && status !== 413) { retry(row, picture); }
      }
    }, picture.name || "picture.jpg");
  }

  camera.onchange = function () {
    var n, row;
    for (n = 0; n < camera.files.length; n += 1) {
      row = document.createElement("li");
      row.textContent = "Sending";
      sent.insertBefore(row, sent.firstChild);
      send(row, camera.files[n], 0);
    }
    camera.value = "";
  };

  ask("GET", "job", null, function (status, answer) {
    if (status === 200) { job.textContent = answer.job; } else { say(answer.said || "The bench does not answer.", true); }
  });
}());
