// What a person has in hand in a part of the page: it is not taken from them, and what they wrote comes along when
// they ask for the new part.

import { keyOf, pieces } from "./print";

type Field = HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement;

const fieldsOf = (part: Element): Field[] =>
  [...part.querySelectorAll<Field>("input, textarea, select")].filter((f) => f.type !== "hidden");

const isTouched = (field: Field): boolean => {
  if (field instanceof HTMLSelectElement) {
    const sent = [...field.options].findIndex((o) => o.defaultSelected);
    return field.selectedIndex !== Math.max(sent, 0);
  }
  if (field instanceof HTMLInputElement && (field.type === "radio" || field.type === "checkbox")) {
    return field.checked !== field.defaultChecked;
  }
  return field.value !== field.defaultValue;
};

const isField = (element: Element | null): boolean => element?.matches("input:not([type=hidden]), textarea, select") ?? false;

/** pieceOf is the key of the piece that an element lies in. */
const pieceOf = (element: Element | null): string => keyOf(element?.closest<HTMLElement>(pieces));

const pieceIn = (part: Element, key: string): Element | undefined =>
  [...part.querySelectorAll<HTMLElement>(pieces)].find((piece) => keyOf(piece) === key);

/** Somebody writes here, has chosen or marked something, or stands on a row that is about to go. */
export const isHeld = (part: Element, fresh: Element): boolean => {
  const active = document.activeElement;
  if (active && part.contains(active)) {
    if (isField(active)) return true;
    const row = pieceOf(active);
    if (row !== "" && !pieceIn(fresh, row)) return true;
  }
  const marked = getSelection();
  if (marked && !marked.isCollapsed && marked.anchorNode && part.contains(marked.anchorNode)) return true;
  return fieldsOf(part).some(isTouched);
};

const controls = "a[href], button, input, select, textarea, summary";

/** focusIn notes where in a part the focus is, and answers how to put it there in the new one. */
export const focusIn = (part: Element): ((fresh: Element) => void) => {
  const active = document.activeElement;
  if (!active || !part.contains(active)) return () => undefined;
  const row = pieceOf(active);
  const place = [...((row ? pieceIn(part, row) : part) ?? part).querySelectorAll(controls)].indexOf(active);
  return (fresh) => {
    const inside = (row ? pieceIn(fresh, row) : fresh) ?? fresh;
    const to = (active.id && fresh.querySelector(`#${CSS.escape(active.id)}`)) || inside.querySelectorAll(controls)[place];
    if (to instanceof HTMLElement) to.focus({ preventScroll: true });
  };
};

/** folds notes which folds somebody opened or shut. */
export const folds = (part: Element): ((fresh: Element) => void) => {
  const name = (d: HTMLDetailsElement): string => pieceOf(d) + (d.querySelector("summary")?.textContent ?? "").trim();
  const states = new Map([...part.querySelectorAll("details")].map((d) => [name(d), d.open]));
  return (fresh) =>
    fresh.querySelectorAll("details").forEach((d) => {
      d.open = states.get(name(d)) ?? d.open;
    });
};

/** written notes what somebody wrote or chose, by form and field. */
export const written = (part: Element): ((fresh: Element) => void) => {
  const place = (f: Field): string => [f.form?.getAttribute("action"), f.name, f.type === "radio" ? f.value : ""].join(" ");
  const touched = new Map(fieldsOf(part).filter(isTouched).map((f) => [place(f), f]));
  return (fresh) =>
    fieldsOf(fresh).forEach((to) => {
      const from = touched.get(place(to));
      if (!from) return;
      if (to instanceof HTMLInputElement && from instanceof HTMLInputElement && /radio|checkbox/.test(to.type)) to.checked = from.checked;
      else to.value = from.value;
    });
};

/** scroll keeps what is read where it is on the screen, though something above it grew. */
export const scroll = (): (() => void) => {
  if (scrollY === 0) return () => undefined;
  const seen = [...document.querySelectorAll<HTMLElement>(`${pieces}, main [id]`)].find((e) => e.getBoundingClientRect().top >= 0);
  if (!seen) return () => undefined;
  const top = seen.getBoundingClientRect().top;
  const key = keyOf(seen);
  return () => {
    const now = key ? pieceIn(document.body, key) : document.getElementById(seen.id);
    if (now) scrollBy({ top: now.getBoundingClientRect().top - top, behavior: "instant" });
  };
};
