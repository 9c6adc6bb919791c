// How a part was sent, so that two answers of the server can be compared whatever scripts and people did to the page.

export interface Print {
  /** as it was sent */
  all: string;
  /** without what only grows older with the clock */
  news: string;
  /** the news of each piece, by its key */
  pieces: Map<string, string>;
}

/** What is one thing in a part: a row that the keys go through (data-row), or anything else with a key (data-mark). */
export const pieces = "[data-row], [data-mark]";

export const keyOf = (piece: HTMLElement | null | undefined): string => piece?.dataset["row"] ?? piece?.dataset["mark"] ?? "";

const bare = (element: Element): Element => {
  const copy = element.cloneNode(true) as Element;
  // Each form has a fresh id each time it is sent; that is no change.
  copy.querySelectorAll('input[name="command"]').forEach((input) => input.removeAttribute("value"));
  return copy;
};

const ageless = (element: Element): string => {
  element.querySelectorAll("[data-ages]").forEach((e) => e.replaceChildren());
  return element.outerHTML;
};

export const print = (part: Element): Print => {
  const copy = bare(part);
  const all = copy.outerHTML;
  const news = ageless(copy);
  const found = [...copy.querySelectorAll<HTMLElement>(pieces)];
  return { all, news, pieces: new Map(found.map((piece) => [keyOf(piece), piece.outerHTML])) };
};

export const isQuiet = (part: Element): boolean => part.getAttribute("data-live") === "quiet";
