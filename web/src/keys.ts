// The keyboard layer. A page says in its markup what its keys are, and this script reaches for what is there:
//
//   data-key="s"                        on a link, button or field: pressing s goes there, while no field is being
//                                       written in. In templates: { press(key)... }, web/view/keys.go.
//     a link, a button that sends nothing   is followed, pressed
//     a fold's summary                      is opened, and its first field entered
//     one choice of a group (radio button)  is chosen
//     a field, a group of choices           is entered
//     one of several choices                is chosen and entered
//     a button that sends a form            is gone to, never pressed: a second key, Enter, sends it. One slip of a
//                                           finger, or a word picked up by a microphone, signs nothing.
//     what lies in a shut fold              has its fold opened first
//   data-row="0417"                     a row: j and k go from one to the next, and so do the arrows once one is in a
//                                       row. Its first link is where the focus goes, so that Enter opens it.
//
// The keys of a page stand at its foot (KeyList in web/view/keys.templ), each once; `?` lifts that list up. A page
// without that list has no keys. Escape leaves a field, or puts the list back.
//
// A key is one small letter or digit, without Ctrl, Alt or Meta, which are the browser's and the screen reader's; nor /
// and ', which search in a browser. Whoever speaks to their computer, or hits keys they did not mean, turns single
// keys off at the foot of the page (WCAG 2.2, 2.1.4); that is kept on their device.

const OFF = "forayhall.keys.off";

const isWriting = (e: Element | null): boolean =>
  e instanceof HTMLElement &&
  (e.isContentEditable || e.matches("textarea, select, input:not([type=radio], [type=checkbox], [type=button], [type=submit])"));

const isOff = (): boolean => {
  try {
    return localStorage.getItem(OFF) === "yes";
  } catch {
    return false; // storage is shut: keys are as a new reader finds them
  }
};

const isSeen = (e: HTMLElement): boolean => e.checkVisibility();

// ---- what a key reaches ----

const field = "input:not([type=hidden]), select, textarea";

const unfold = (target: Element): void => {
  for (let fold = target.closest("details"); fold; fold = fold.parentElement?.closest("details") ?? null) fold.open = true;
};

const enter = (target: HTMLElement): void => {
  const checked = target.querySelector<HTMLElement>("input:checked");
  const to = target.matches(`${field}, button`) ? target : (checked ?? target.querySelector<HTMLElement>(field) ?? target);
  to.focus();
  to.scrollIntoView({ block: "nearest" });
};

const reach = (target: HTMLElement): void => {
  unfold(target);
  if (target.tagName === "SUMMARY") {
    enter(target.parentElement ?? target);
  } else if (target.matches("a[href], button[type=button]")) {
    target.click();
  } else {
    if (target.matches("input[type=radio]")) target.click();
    enter(target);
  }
};

// ---- rows ----

const rows = (): HTMLElement[] => [...document.querySelectorAll<HTMLElement>("[data-row]")].filter(isSeen);

let last = ""; // the row that was left last

const go = (step: 1 | -1): boolean => {
  const all = rows();
  const here = document.activeElement?.closest<HTMLElement>("[data-row]");
  const at = all.findIndex((r) => (here ? r === here : r.dataset["row"] === last));
  const to = all[at < 0 ? 0 : Math.min(Math.max(at + step, 0), all.length - 1)];
  if (!to) return false;
  last = to.dataset["row"] ?? "";
  const link = to.querySelector<HTMLElement>("a[href]") ?? to;
  if (link === to) to.tabIndex = -1;
  link.focus({ preventScroll: true });
  to.scrollIntoView({ block: "nearest" });
  return true;
};

// ---- the list at the foot ----

const list = document.getElementById("keys") as HTMLDetailsElement | null;
const turn = document.getElementById("keys-switch") as HTMLButtonElement | null;
let from: Element | null = null; // where the focus was

const lift = (): boolean => {
  if (!list) return false;
  from = document.activeElement;
  list.open = true;
  list.classList.add("keys-up");
  list.querySelector("summary")?.focus();
  return true;
};

const lower = (): boolean => {
  if (!list?.classList.contains("keys-up")) return false;
  list.classList.remove("keys-up");
  list.open = false;
  if (from instanceof HTMLElement) from.focus();
  return true;
};

list?.addEventListener("toggle", () => {
  if (!list.open) lower();
});

const show = (): void => {
  if (!turn || !list) return;
  const off = isOff();
  turn.hidden = false;
  turn.textContent = (off ? turn.dataset["on"] : turn.dataset["off"]) ?? "";
  list.classList.toggle("keys-off", off);
};

turn?.addEventListener("click", () => {
  try {
    localStorage.setItem(OFF, isOff() ? "no" : "yes");
  } catch {
    return; // it cannot be kept, so it does not seem so
  }
  show();
});
show();

// ---- keys ----

const leave = (): boolean => {
  const here = document.activeElement;
  if (lower()) return true;
  if (!isWriting(here)) return false;
  if (here instanceof HTMLInputElement && here.type === "search" && here.value !== "") return false; // the browser empties it first
  (here as HTMLElement).blur();
  return true;
};

const single = (key: string): boolean => {
  if (isOff()) return false;
  if (key === "?") return list?.classList.contains("keys-up") ? lower() : lift();
  const target = [...document.querySelectorAll<HTMLElement>("[data-key]")].find((e) => e.dataset["key"] === key && (isSeen(e) || e.closest("details")));
  if (target) {
    reach(target);
    return true;
  }
  if (key === "j") return go(1);
  return key === "k" && go(-1);
};

const press = (e: KeyboardEvent): boolean => {
  const here = document.activeElement;
  if (e.key === "Escape") return leave();
  if (isWriting(here) || !list) return false;
  if (e.key === "ArrowDown" || e.key === "ArrowUp") {
    // Outside the rows the arrows scroll, and in a group of choices they choose.
    return !here?.matches("input") && here?.closest("[data-row]") != null && go(e.key === "ArrowDown" ? 1 : -1);
  }
  return single(e.key);
};

document.addEventListener("keydown", (e) => {
  if (e.defaultPrevented || e.isComposing || e.ctrlKey || e.altKey || e.metaKey) return;
  if (press(e)) e.preventDefault();
});

export {};
