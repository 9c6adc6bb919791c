// web/src/desk.ts
var MOST = 6;
var inWords = (text) => text.toLowerCase().split(/[^\p{L}\p{N}]+/u).filter(Boolean);
var fits = (typed, ...texts) => texts.some((t) => t.toLowerCase().startsWith(typed) || inWords(t).some((w) => w.startsWith(typed)));
var fill = (text, name, value) => (text ?? "").replace(`{${name}}`, value);
var quick = (form2) => [...form2.querySelectorAll(".desk-quick input")].filter((i) => i.checkVisibility());
var onward = (from, form2) => {
  const all = quick(form2);
  const next = all[all.indexOf(from) + 1];
  (next ?? form2.querySelector(".save-bar button"))?.focus();
};
var tilesOf = (fieldset) => [...fieldset.querySelectorAll(".group-tap")].map((box) => ({
  box,
  radio: box.querySelector("input"),
  name: box.textContent?.trim() ?? "",
  order: Number(box.dataset["order"])
}));
var byLetters = (tiles, typed) => {
  const fitting = tiles.filter((t) => fits(typed, t.name)).sort((a, b) => a.order - b.order);
  const first = (t) => t.name.toLowerCase().startsWith(typed) ? 0 : 1;
  return fitting.sort((a, b) => first(a) - first(b));
};
var findGroups = (find, form2) => {
  const input = find.querySelector("input");
  const said2 = find.querySelector(".group-said");
  const fieldset = find.closest("fieldset");
  const number = form2.querySelector('input[name="number"]');
  const tiles = tilesOf(fieldset);
  let digits = "";
  find.hidden = false;
  number?.addEventListener("focus", () => number.select());
  const draw = () => {
    const typed = input.value.trim().toLowerCase();
    const found = typed === "" ? [] : byLetters(tiles, typed);
    tiles.forEach((t) => {
      t.box.hidden = typed !== "" && !found.includes(t);
      t.box.classList.toggle("first", t === found[0]);
    });
    const chosen = tiles.find((t) => t.radio.checked);
    if (typed === "") said2.textContent = chosen ? fill(find.dataset["chosen"], "group", chosen.name) : "";
    else said2.textContent = found[0] ? fill(find.dataset["first"], "group", found[0].name) : find.dataset["none"] ?? "";
    return found;
  };
  const numbered = () => {
    const typed = input.value.replace(/\D/g, "");
    if (typed === "" || !number) return;
    digits += typed;
    input.value = input.value.replace(/\d/g, "");
    number.value = digits;
    number.dispatchEvent(new Event("change", { bubbles: true }));
    said2.textContent = fill(find.dataset["numbered"], "number", digits);
  };
  input.addEventListener("focus", () => {
    digits = "";
  });
  input.addEventListener("input", () => {
    const wrote = /\d/.test(input.value);
    numbered();
    if (!wrote || input.value.trim() !== "") draw();
  });
  input.addEventListener("keydown", (e) => {
    if (e.key === "Escape" && input.value !== "") {
      input.value = "";
      draw();
      e.preventDefault();
      e.stopPropagation();
    }
    if (e.key !== "Enter") return;
    const typed = input.value.trim() !== "";
    const found = draw()[0];
    if (!typed && tiles.some((t) => t.radio.checked)) return;
    e.preventDefault();
    if (!typed || !found) return;
    found.radio.checked = true;
    found.radio.dispatchEvent(new Event("change", { bubbles: true }));
    input.value = "";
    draw();
    onward(input, form2);
  });
  fieldset.addEventListener("change", () => {
    if (input.value === "") draw();
  });
  draw();
};
var wordsOf = (input) => {
  const list = document.getElementById(input.getAttribute("list") ?? "");
  return [...list?.querySelectorAll("option") ?? []].map((o) => ({ value: o.value, label: o.getAttribute("label") ?? "" }));
};
var offer = (input, form2) => {
  const words = wordsOf(input);
  const box = document.createElement("span");
  const list = document.createElement("ul");
  const said2 = document.createElement("span");
  let found = [];
  let active = -1;
  input.removeAttribute("list");
  box.className = "combobox";
  list.id = `${input.id}-offers`;
  list.className = "suggestions";
  list.hidden = true;
  list.setAttribute("role", "listbox");
  list.setAttribute("aria-label", input.dataset["offers"] ?? "");
  said2.className = "unseen";
  said2.setAttribute("role", "status");
  input.replaceWith(box);
  box.append(input, list, said2);
  input.setAttribute("role", "combobox");
  input.setAttribute("aria-autocomplete", "list");
  input.setAttribute("aria-expanded", "false");
  input.setAttribute("aria-controls", list.id);
  const mark = (i) => {
    active = i;
    [...list.children].forEach((li, j) => li.setAttribute("aria-selected", String(j === i)));
    const at = list.children[i];
    if (at) input.setAttribute("aria-activedescendant", at.id);
    else input.removeAttribute("aria-activedescendant");
  };
  const shut = () => {
    list.hidden = true;
    mark(-1);
    input.setAttribute("aria-expanded", "false");
    said2.textContent = "";
  };
  const take = (i) => {
    const word = found[i];
    if (word) input.value = word.value;
    input.dispatchEvent(new Event("change", { bubbles: true }));
    shut();
  };
  const line = (word, i) => {
    const li = document.createElement("li");
    const rest = document.createElement("span");
    li.id = `${list.id}-${i}`;
    li.setAttribute("role", "option");
    li.setAttribute("aria-selected", "false");
    rest.textContent = word.label === "" ? "" : ` ${word.label}`;
    li.append(word.value, rest);
    li.addEventListener("mousedown", (e) => e.preventDefault());
    li.addEventListener("click", () => take(i));
    return li;
  };
  const show = (all) => {
    const typed = input.value.trim().toLowerCase();
    if (typed === "" && !all) return shut();
    found = words.filter((w) => fits(typed, w.value, w.label)).slice(0, MOST);
    if (found[0]?.value.toLowerCase() === typed) return shut();
    list.replaceChildren(...found.map(line));
    list.hidden = found.length === 0;
    input.setAttribute("aria-expanded", String(found.length > 0));
    mark(typed !== "" && found.length > 0 ? 0 : -1);
    said2.textContent = typed !== "" && found[0] ? fill(input.dataset["saidFirst"], "word", found[0].value) : "";
  };
  input.addEventListener("input", () => show(false));
  input.addEventListener("blur", shut);
  input.addEventListener("keydown", (e) => {
    if (e.key === "Enter") {
      if (input.value.trim() === "" && active < 0) return;
      if (active >= 0) take(active);
      shut();
      onward(input, form2);
    } else if (e.key === "ArrowDown") {
      if (list.hidden) show(true);
      mark(Math.min(active + 1, found.length - 1));
    } else if (e.key === "ArrowUp") {
      mark(Math.max(active - 1, 0));
    } else if (e.key === "Escape" && !list.hidden) {
      shut();
      e.stopPropagation();
    } else {
      return;
    }
    e.preventDefault();
  });
};
var empty = (form2, name) => {
  const control = form2.elements.namedItem(name);
  if (control instanceof HTMLInputElement && control.type === "checkbox") control.checked = false;
  else if (control instanceof HTMLInputElement || control instanceof HTMLSelectElement) control.value = "";
};
var letGo = (chip, form2) => {
  empty(form2, chip.dataset["clears"] ?? "");
  const all = chip.closest(".carried");
  chip.closest("li")?.remove();
  if (all && !all.querySelector("li")) all.remove();
};
var changeTeam = (form2) => {
  form2.querySelectorAll("[data-clears]").forEach((chip) => {
    if (["team", "site", "collector", "picked"].includes(chip.dataset["clears"] ?? "")) {
      if (chip.dataset["clears"] === "team") chip.closest("li")?.remove();
      else letGo(chip, form2);
    }
  });
};
var form = document.querySelector("form[data-desk]");
if (form) {
  form.querySelectorAll("input[data-offers]").forEach((i) => offer(i, form));
  const find = form.querySelector("[data-group-find]");
  if (find) findGroups(find, form);
  form.querySelectorAll("[data-clears]").forEach(
    (chip) => chip.addEventListener("click", (e) => {
      e.preventDefault();
      letGo(chip, form);
    })
  );
  form.querySelector('select[name="team"]')?.addEventListener("change", () => changeTeam(form));
  form.addEventListener("keydown", (e) => {
    if (e.key === "Enter" && (e.ctrlKey || e.metaKey)) form.requestSubmit();
  });
  const wrong = form.querySelector('[aria-invalid="true"]');
  if (!wrong && !matchMedia("(pointer: coarse)").matches && form.querySelector('input[name="number"]')) find?.querySelector("input")?.focus();
}
var aloud = document.querySelector("[data-aloud] .saved-line");
var said = document.querySelector("[data-said]");
if (aloud && said) {
  requestAnimationFrame(() => {
    said.textContent = aloud.textContent;
  });
}
