/* Sifts a list by the words that are typed; without scripts the list stands whole.

   It needs no server: the workshop's pages are often a folder on a telephone. */
(() => {
  "use strict";

  const plain = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();

  for (const sieve of document.querySelectorAll(".sift")) {
    const asked = sieve.querySelector("input");
    const answer = sieve.querySelector("output");
    const rows = [...document.querySelectorAll("main .row")].map((row) => ({
      row,
      text: plain(`${row.dataset.sift ?? ""} ${row.textContent}`),
    }));
    const groups = [...document.querySelectorAll("main .sifted")];

    const sift = () => {
      const words = plain(asked.value).split(/\s+/).filter(Boolean);
      let shown = 0;
      for (const { row, text } of rows) {
        row.hidden = !words.every((word) => text.includes(word));
        shown += row.hidden ? 0 : 1;
      }
      for (const group of groups) group.hidden = !group.querySelector(".row:not([hidden])");
      answer.textContent = words.length ? `${shown} / ${rows.length}` : "";
    };

    sieve.hidden = false;
    asked.addEventListener("input", sift);
    sift();
  }
})();
