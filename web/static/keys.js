// web/src/keys.ts
var OFF = "forayhall.keys.off";
var isWriting = (e) => e instanceof HTMLElement && (e.isContentEditable || e.matches("textarea, select, input:not([type=radio], [type=checkbox], [type=button], [type=submit])"));
var isOff = () => {
  try {
    return localStorage.getItem(OFF) === "yes";
  } catch {
    return false;
  }
};
var isSeen = (e) => e.checkVisibility();
var field = "input:not([type=hidden]), select, textarea";
var unfold = (target) => {
  for (let fold = target.closest("details"); fold; fold = fold.parentElement?.closest("details") ?? null) fold.open = true;
};
var enter = (target) => {
  const checked = target.querySelector("input:checked");
  const to = target.matches(`${field}, button`) ? target : checked ?? target.querySelector(field) ?? target;
  to.focus();
  to.scrollIntoView({ block: "nearest" });
};
var reach = (target) => {
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
var rows = () => [...document.querySelectorAll("[data-row]")].filter(isSeen);
var last = "";
var go = (step) => {
  const all = rows();
  const here = document.activeElement?.closest("[data-row]");
  const at = all.findIndex((r) => here ? r === here : r.dataset["row"] === last);
  const to = all[at < 0 ? 0 : Math.min(Math.max(at + step, 0), all.length - 1)];
  if (!to) return false;
  last = to.dataset["row"] ?? "";
  const link = to.querySelector("a[href]") ?? to;
  if (link === to) to.tabIndex = -1;
  link.focus({ preventScroll: true });
  to.scrollIntoView({ block: "nearest" });
  return true;
};
var list = document.getElementById("keys");
var turn = document.getElementById("keys-switch");
var from = null;
var lift = () => {
  if (!list) return false;
  from = document.activeElement;
  list.open = true;
  list.classList.add("keys-up");
  list.querySelector("summary")?.focus();
  return true;
};
var lower = () => {
  if (!list?.classList.contains("keys-up")) return false;
  list.classList.remove("keys-up");
  list.open = false;
  if (from instanceof HTMLElement) from.focus();
  return true;
};
list?.addEventListener("toggle", () => {
  if (!list.open) lower();
});
var show = () => {
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
    return;
  }
  show();
});
show();
var leave = () => {
  const here = document.activeElement;
  if (lower()) return true;
  if (!isWriting(here)) return false;
  if (here instanceof HTMLInputElement && here.type === "search" && here.value !== "") return false;
  here.blur();
  return true;
};
var single = (key) => {
  if (isOff()) return false;
  if (key === "?") return list?.classList.contains("keys-up") ? lower() : lift();
  const target = [...document.querySelectorAll("[data-key]")].find((e) => e.dataset["key"] === key && (isSeen(e) || e.closest("details")));
  if (target) {
    reach(target);
    return true;
  }
  if (key === "j") return go(1);
  return key === "k" && go(-1);
};
var press = (e) => {
  const here = document.activeElement;
  if (e.key === "Escape") return leave();
  if (isWriting(here) || !list) return false;
  if (e.key === "ArrowDown" || e.key === "ArrowUp") {
    return !here?.matches("input") && here?.closest("[data-row]") != null && go(e.key === "ArrowDown" ? 1 : -1);
  }
  return single(e.key);
};
document.addEventListener("keydown", (e) => {
  if (e.defaultPrevented || e.isComposing || e.ctrlKey || e.altKey || e.metaKey) return;
  if (press(e)) e.preventDefault();
});
