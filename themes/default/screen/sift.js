/* Sifts a list by the words that are typed; without scripts the list stands whole.

   A list of visits can be set by place too. It needs no server: the workshop's pages are often a
   folder on a telephone. */
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
    const sift = () => {
      const words = plain(asked.value).split(/\s+/).filter(Boolean);
      let shown = 0;
      for (const { row, text } of rows) {
        row.hidden = !words.every((word) => text.includes(word));
        shown += row.hidden ? 0 : 1;
      }
      for (const group of document.querySelectorAll("main .sifted")) group.hidden = !group.querySelector(".row:not([hidden])");
      answer.textContent = words.length ? `${shown} / ${rows.length}` : "";
    };

    sieve.hidden = false;
    asked.addEventListener("input", sift);
    sift();
  }

  /* The rows beneath their addresses, those of one town together and each still by date; or again
     as they stood. */
  for (const order of document.querySelectorAll(".order")) {
    const parts = [...document.querySelectorAll("main .sifted")];
    const rows = parts.flatMap((part) => [...part.querySelectorAll(".row")]
      .map((row) => ({ row, list: row.parentElement })));
    const language = document.documentElement.lang;
    const town = (place) => place.split(",").reverse().join(",").trim();
    const places = [...new Set(rows.map(({ row }) => row.dataset.place))]
      .sort((one, other) => town(one).localeCompare(town(other), language));
    const beneath = places.map((place, number) => {
      const part = parts[0].cloneNode(false);
      const heading = document.createElement("h2");
      heading.id = `place-${number}`;
      heading.textContent = place;
      part.setAttribute("aria-labelledby", heading.id);
      part.append(heading, rows[0].list.cloneNode(false));
      return part;
    });

    const arrange = (byPlace) => {
      for (const { row, list } of rows) {
        const to = byPlace ? beneath[places.indexOf(row.dataset.place)].lastElementChild : list;
        to.append(row);
      }
      const [away, here] = byPlace ? [parts, beneath] : [beneath, parts];
      away[0].before(...here);
      for (const part of away) part.remove();
      for (const part of here) part.hidden = !part.querySelector(".row:not([hidden])");
    };

    order.hidden = false;
    order.addEventListener("change", (event) => arrange(event.target.value === "place"));
    const chosen = order.querySelector("input:checked").value;
    if (chosen === "place") arrange(true);
  }
})();
