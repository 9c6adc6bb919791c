// Speed for the desk; without it every form works by itself.
//
//   data-group-find   a field, shown by this script alone, in which two or three letters find a group and Enter takes
//                     the first; digits typed there change the number, so that the hand need not leave it
//   data-offers       a field that offers words: the first that fits is taken by Enter, Escape keeps one's own
//   data-clears       a thing carried over from the last find: one tap lets go of it, and of nothing that was typed
//   data-aloud        what was saved, said once more after the page has come, so that a screen reader speaks it
//
// Enter goes from the group to the first quick field and on to the next; in an empty one it saves, as forms do. Every
// text comes from data attributes.

const MOST = 6; // words offered at once: more are not read

const inWords = (text: string): string[] => text.toLowerCase().split(/[^\p{L}\p{N}]+/u).filter(Boolean);

// fits: the text, or one of its words, begins with what was typed.
const fits = (typed: string, ...texts: string[]): boolean =>
  texts.some((t) => t.toLowerCase().startsWith(typed) || inWords(t).some((w) => w.startsWith(typed)));

const fill = (text: string | undefined, name: string, value: string): string => (text ?? "").replace(`{${name}}`, value);

// ---- from one field to the next ----

const quick = (form: HTMLFormElement): HTMLInputElement[] =>
  [...form.querySelectorAll<HTMLInputElement>(".desk-quick input")].filter((i) => i.checkVisibility());

const onward = (from: HTMLElement, form: HTMLFormElement): void => {
  const all = quick(form);
  const next = all[all.indexOf(from as HTMLInputElement) + 1];
  (next ?? form.querySelector<HTMLElement>(".save-bar button"))?.focus();
};

// ---- the group by its letters ----

interface Tile {
  box: HTMLElement;
  radio: HTMLInputElement;
  name: string;
  order: number;
}

const tilesOf = (fieldset: HTMLElement): Tile[] =>
  [...fieldset.querySelectorAll<HTMLElement>(".group-tap")].map((box) => ({
    box,
    radio: box.querySelector("input") as HTMLInputElement,
    name: box.textContent?.trim() ?? "",
    order: Number(box.dataset["order"]),
  }));

// byLetters is the tiles that fit, those whose own first word does before the others, in an order that never changes,
// wherever the pictures lie: fingers learn that br is the brittlegill.
const byLetters = (tiles: Tile[], typed: string): Tile[] => {
  const fitting = tiles.filter((t) => fits(typed, t.name)).sort((a, b) => a.order - b.order);
  const first = (t: Tile): number => (t.name.toLowerCase().startsWith(typed) ? 0 : 1);
  return fitting.sort((a, b) => first(a) - first(b));
};

const findGroups = (find: HTMLElement, form: HTMLFormElement): void => {
  const input = find.querySelector("input") as HTMLInputElement;
  const said = find.querySelector(".group-said") as HTMLElement;
  const fieldset = find.closest("fieldset") as HTMLElement;
  const number = form.querySelector<HTMLInputElement>('input[name="number"]');
  const tiles = tilesOf(fieldset);
  let digits = "";
  find.hidden = false;
  number?.addEventListener("focus", () => number.select()); // what is offered is written over, not added to

  const draw = (): Tile[] => {
    const typed = input.value.trim().toLowerCase();
    const found = typed === "" ? [] : byLetters(tiles, typed);
    tiles.forEach((t) => {
      t.box.hidden = typed !== "" && !found.includes(t);
      t.box.classList.toggle("first", t === found[0]);
    });
    const chosen = tiles.find((t) => t.radio.checked);
    if (typed === "") said.textContent = chosen ? fill(find.dataset["chosen"], "group", chosen.name) : "";
    else said.textContent = found[0] ? fill(find.dataset["first"], "group", found[0].name) : (find.dataset["none"] ?? "");
    return found;
  };

  const numbered = (): void => {
    const typed = input.value.replace(/\D/g, "");
    if (typed === "" || !number) return;
    digits += typed;
    input.value = input.value.replace(/\d/g, "");
    number.value = digits;
    number.dispatchEvent(new Event("change", { bubbles: true }));
    said.textContent = fill(find.dataset["numbered"], "number", digits);
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
    if (!typed && tiles.some((t) => t.radio.checked)) return; // the form is sent
    e.preventDefault();
    if (!typed || !found) return;
    found.radio.checked = true;
    found.radio.dispatchEvent(new Event("change", { bubbles: true }));
    input.value = "";
    draw();
    onward(input, form);
  });
  fieldset.addEventListener("change", () => {
    if (input.value === "") draw();
  });
  draw();
};

// ---- words that are offered ----

interface Word {
  value: string;
  label: string;
}

const wordsOf = (input: HTMLInputElement): Word[] => {
  const list = document.getElementById(input.getAttribute("list") ?? "");
  return [...(list?.querySelectorAll("option") ?? [])].map((o) => ({ value: o.value, label: o.getAttribute("label") ?? "" }));
};

const offer = (input: HTMLInputElement, form: HTMLFormElement): void => {
  const words = wordsOf(input);
  const box = document.createElement("span");
  const list = document.createElement("ul");
  const said = document.createElement("span");
  let found: Word[] = [];
  let active = -1;

  input.removeAttribute("list"); // the browser's own list would lie over this one
  box.className = "combobox";
  list.id = `${input.id}-offers`;
  list.className = "suggestions";
  list.hidden = true;
  list.setAttribute("role", "listbox");
  list.setAttribute("aria-label", input.dataset["offers"] ?? "");
  said.className = "unseen";
  said.setAttribute("role", "status");
  input.replaceWith(box);
  box.append(input, list, said);
  input.setAttribute("role", "combobox");
  input.setAttribute("aria-autocomplete", "list");
  input.setAttribute("aria-expanded", "false");
  input.setAttribute("aria-controls", list.id);

  const mark = (i: number): void => {
    active = i;
    [...list.children].forEach((li, j) => li.setAttribute("aria-selected", String(j === i)));
    const at = list.children[i];
    if (at) input.setAttribute("aria-activedescendant", at.id);
    else input.removeAttribute("aria-activedescendant");
  };

  const shut = (): void => {
    list.hidden = true;
    mark(-1);
    input.setAttribute("aria-expanded", "false");
    said.textContent = "";
  };

  const take = (i: number): void => {
    const word = found[i];
    if (word) input.value = word.value;
    input.dispatchEvent(new Event("change", { bubbles: true }));
    shut();
  };

  const line = (word: Word, i: number): HTMLElement => {
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

  const show = (all: boolean): void => {
    const typed = input.value.trim().toLowerCase();
    if (typed === "" && !all) return shut();
    found = words.filter((w) => fits(typed, w.value, w.label)).slice(0, MOST);
    if (found[0]?.value.toLowerCase() === typed) return shut(); // it is written out
    list.replaceChildren(...found.map(line));
    list.hidden = found.length === 0;
    input.setAttribute("aria-expanded", String(found.length > 0));
    mark(typed !== "" && found.length > 0 ? 0 : -1);
    said.textContent = typed !== "" && found[0] ? fill(input.dataset["saidFirst"], "word", found[0].value) : "";
  };

  input.addEventListener("input", () => show(false));
  input.addEventListener("blur", shut);
  input.addEventListener("keydown", (e) => {
    if (e.key === "Enter") {
      if (input.value.trim() === "" && active < 0) return; // the form is sent
      if (active >= 0) take(active);
      shut();
      onward(input, form);
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

// ---- what is carried ----

const empty = (form: HTMLFormElement, name: string): void => {
  const control = form.elements.namedItem(name);
  if (control instanceof HTMLInputElement && control.type === "checkbox") control.checked = false;
  else if (control instanceof HTMLInputElement || control instanceof HTMLSelectElement) control.value = "";
};

const letGo = (chip: HTMLElement, form: HTMLFormElement): void => {
  empty(form, chip.dataset["clears"] ?? "");
  const all = chip.closest(".carried");
  chip.closest("li")?.remove();
  if (all && !all.querySelector("li")) all.remove();
};

// Another team has another site, another collector and another time: they were carried for the last one.
const changeTeam = (form: HTMLFormElement): void => {
  form.querySelectorAll<HTMLElement>("[data-clears]").forEach((chip) => {
    if (["team", "site", "collector", "picked"].includes(chip.dataset["clears"] ?? "")) {
      if (chip.dataset["clears"] === "team") chip.closest("li")?.remove();
      else letGo(chip, form);
    }
  });
};

// ---- begin ----

const form = document.querySelector<HTMLFormElement>("form[data-desk]");
if (form) {
  form.querySelectorAll<HTMLInputElement>("input[data-offers]").forEach((i) => offer(i, form));
  const find = form.querySelector<HTMLElement>("[data-group-find]");
  if (find) findGroups(find, form);
  form.querySelectorAll<HTMLElement>("[data-clears]").forEach((chip) =>
    chip.addEventListener("click", (e) => {
      e.preventDefault();
      letGo(chip, form);
    }),
  );
  form.querySelector('select[name="team"]')?.addEventListener("change", () => changeTeam(form));
  form.addEventListener("keydown", (e) => {
    if (e.key === "Enter" && (e.ctrlKey || e.metaKey)) form.requestSubmit();
  });
  // A finger's keyboard would cover the pictures; and whoever came to a form with mistakes is led to those.
  const wrong = form.querySelector('[aria-invalid="true"]');
  if (!wrong && !matchMedia("(pointer: coarse)").matches && form.querySelector('input[name="number"]')) find?.querySelector("input")?.focus();
}

// A status that was in the page from the start is not spoken: it is said again in one that changes.
const aloud = document.querySelector<HTMLElement>("[data-aloud] .saved-line");
const said = document.querySelector<HTMLElement>("[data-said]");
if (aloud && said) {
  requestAnimationFrame(() => {
    said.textContent = aloud.textContent;
  });
}

export {};
