"use strict";
// Asks for nothing while the page is hidden: a browser keeps few connections open at once.
const shown = document.currentScript.dataset.stand;
let events = null;

function listen() {
  if (document.hidden) {
    if (events) events.close();
    events = null;
  } else if (!events) {
    events = new EventSource("/~preview/events");
    events.onmessage = (event) => {
      if (event.data !== shown) location.reload();
    };
  }
}

document.addEventListener("visibilitychange", listen);
listen();
