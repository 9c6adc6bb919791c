// web/src/names.ts
var WAIT = 120;
var assist = (input) => {
  const list = document.createElement("ul");
  const status = document.createElement("span");
  const box = document.createElement("span");
  let found = [];
  let active = -1;
  let timer = 0;
  let asked = 0;
  list.id = `${input.id}-list`;
  list.setAttribute("role", "listbox");
  list.setAttribute("aria-label", input.dataset.listLabel || "");
  list.className = "suggestions";
  list.hidden = true;
  status.setAttribute("role", "status");
  status.className = "unseen";
  box.className = "combobox";
  input.replaceWith(box);
  box.append(input, list, status);
  input.setAttribute("role", "combobox");
  input.setAttribute("aria-autocomplete", "list");
  input.setAttribute("aria-expanded", "false");
  input.setAttribute("aria-controls", list.id);
  input.setAttribute("autocomplete", "off");
  const shut = () => {
    list.hidden = true;
    active = -1;
    input.setAttribute("aria-expanded", "false");
    input.removeAttribute("aria-activedescendant");
  };
  const mark = (i) => {
    active = i;
    [...list.children].forEach((li, j) => li.setAttribute("aria-selected", String(j === i)));
    const at = list.children[i];
    if (!at) {
      input.removeAttribute("aria-activedescendant");
      return;
    }
    input.setAttribute("aria-activedescendant", at.id);
    at.scrollIntoView({ block: "nearest" });
  };
  const take = (i) => {
    const entry = found[i];
    if (!entry) return;
    input.value = entry.value || entry.name;
    input.dispatchEvent(new Event("change", { bubbles: true }));
    shut();
  };
  const line = (entry, i) => {
    const li = document.createElement("li");
    const name = document.createElement("i");
    const rest = document.createElement("span");
    li.id = `${list.id}-${i}`;
    li.setAttribute("role", "option");
    li.setAttribute("aria-selected", "false");
    name.textContent = entry.name;
    name.lang = "la";
    rest.textContent = [entry.author, entry.family, entry.note].filter(Boolean).map((s) => ` ${s}`).join(" ·");
    li.append(name, rest);
    li.addEventListener("mousedown", (e) => e.preventDefault());
    li.addEventListener("click", () => take(i));
    return li;
  };
  const show = (entries) => {
    found = entries;
    list.replaceChildren(...entries.map(line));
    list.hidden = entries.length === 0;
    active = -1;
    input.removeAttribute("aria-activedescendant");
    input.setAttribute("aria-expanded", String(entries.length > 0));
    const said = entries.length === 0 ? input.dataset.saidNone : input.dataset.saidMany;
    status.textContent = (said || "").replace("{n}", String(entries.length));
  };
  const ask = async () => {
    const q = input.value.trim();
    const turn = ++asked;
    if (q.length < 2) {
      shut();
      return;
    }
    try {
      const answer = await fetch((input.dataset.names ?? "") + encodeURIComponent(q), { headers: { Accept: "application/json" } });
      if (answer.ok && turn === asked && document.activeElement === input) show(await answer.json());
    } catch {
      shut();
    }
  };
  input.addEventListener("input", () => {
    clearTimeout(timer);
    timer = window.setTimeout(() => void ask(), WAIT);
  });
  input.addEventListener("blur", () => {
    clearTimeout(timer);
    shut();
  });
  input.addEventListener("keydown", (e) => {
    if (list.hidden) {
      if (e.key === "ArrowDown") void ask();
      return;
    }
    const n = found.length;
    if (e.key === "ArrowDown") mark((active + 1) % n);
    else if (e.key === "ArrowUp") mark((active - 1 + n) % n);
    else if (e.key === "Enter" && active >= 0) take(active);
    else if (e.key === "Escape") shut();
    else return;
    e.preventDefault();
  });
};
var choose = (input) => {
  const mean = () => {
    const radio = document.getElementById(input.dataset.chooses ?? "");
    if (radio instanceof HTMLInputElement && input.value.trim() !== "") radio.checked = true;
  };
  input.addEventListener("input", mean);
  input.addEventListener("change", mean);
};
var enhance = (within) => {
  within.querySelectorAll("input[data-names]").forEach(assist);
  within.querySelectorAll("input[data-chooses]").forEach(choose);
};
enhance(document);
document.addEventListener("hall:part", (e) => enhance(e.target));
