"use strict";
// Sort a table by the column whose head is pressed; pressing again turns the order round.
for (const table of document.querySelectorAll("table.sortable")) {
  const heads = [...table.tHead.rows[0].cells];
  heads.forEach((head, column) => {
    const button = head.querySelector("[role=button]");
    if (!button) return;
    button.addEventListener("keydown", (event) => {
      if (event.key === "Enter" || event.key === " ") {
        event.preventDefault();
        button.click();
      }
    });
    button.addEventListener("click", () => {
      const down = head.getAttribute("aria-sort") === "ascending";
      heads.forEach((other) => other.removeAttribute("aria-sort"));
      head.setAttribute("aria-sort", down ? "descending" : "ascending");
      const key = (row) => row.cells[column].dataset.key ?? row.cells[column].textContent;
      const rows = [...table.tBodies[0].rows].sort((a, b) => {
        const x = key(a), y = key(b);
        const order = isNaN(x) || isNaN(y) ? x.localeCompare(y) : x - y;
        return down ? -order : order;
      });
      table.tBodies[0].append(...rows);
    });
  });
}
