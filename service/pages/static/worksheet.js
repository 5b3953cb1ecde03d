"use strict";

/* The worksheet works without this file; with it, waiting shows, and complaints come into view. */

(() => {
  const BLINK_MS = 300;
  const form = document.getElementById("worksheet");

  if (form) {
    const progress = form.querySelector(".progress");
    let timer = 0;
    form.addEventListener("submit", () => {
      window.clearTimeout(timer);
      timer = window.setTimeout(() => {
        form.setAttribute("aria-busy", "true");
        progress.textContent = form.dataset.working;
      }, BLINK_MS);
    });
    /* A page that the browser kept comes back as it was left: take the sign away. */
    window.addEventListener("pageshow", () => {
      window.clearTimeout(timer);
      form.removeAttribute("aria-busy");
      progress.textContent = "";
    });
  }

  const complaints = document.getElementById("complaints");
  if (complaints) {
    complaints.focus();
  }

  for (const button of document.querySelectorAll("button[data-does]")) {
    button.hidden = false;
  }
  const copy = document.querySelector("button[data-does='copy-link']");
  if (copy) {
    copy.addEventListener("click", async () => {
      const link = new URL(copy.dataset.link, window.location.href).href;
      const said = document.getElementById(copy.dataset.says);
      try {
        await navigator.clipboard.writeText(link);
        said.textContent = "The link is copied.";
      } catch {
        said.textContent = "Copy the link from the address bar.";
      }
    });
  }
  const print = document.querySelector("button[data-does='print']");
  if (print) {
    print.addEventListener("click", () => window.print());
  }
})();
