"use strict";
(() => {
  const key = document.documentElement.dataset.ticks;
  const boxes = [...document.querySelectorAll("input[data-tick]")];
  const note = document.getElementById("no-memory");
  const hide = document.getElementById("hide-done");

  const load = () => {
    try {
      return new Set(JSON.parse(localStorage.getItem(key) || "[]"));
    } catch {
      note.hidden = false;
      return new Set();
    }
  };
  const save = () => {
    try {
      localStorage.setItem(key, JSON.stringify([...done]));
    } catch {
      note.hidden = false;
    }
  };
  const show = () => {
    for (const box of boxes) {
      box.checked = done.has(box.dataset.tick);
    }
    for (const group of document.querySelectorAll("[data-group]")) {
      const ticks = new Set(
        [...group.querySelectorAll("input[data-tick]")].map((box) => box.dataset.tick),
      );
      const ready = [...ticks].filter((tick) => done.has(tick)).length;
      group.classList.toggle("done", ticks.size > 0 && ready === ticks.size);
      const told = document.getElementById(group.dataset.group);
      if (told) {
        told.textContent = `${ready} of ${ticks.size} done`;
      }
    }
  };

  let done = load();
  document.addEventListener("change", (event) => {
    const tick = event.target.dataset.tick;
    if (tick) {
      done[event.target.checked ? "add" : "delete"](tick);
      save();
      show();
    }
    if (event.target === hide) {
      document.body.classList.toggle("hiding", hide.checked);
    }
  });
  document.getElementById("clear").addEventListener("click", () => {
    if (confirm("Take every tick off this page?")) {
      done = new Set();
      save();
      show();
    }
  });
  window.addEventListener("storage", () => {
    done = load();
    show();
  });
  show();
})();
