// A page that follows the hall. It hears that something changed (never what), asks for itself again, and puts the
// parts that differ in their old places: see Live in web/view/live.go for the markup. It never takes from somebody
// what they are writing in, moves nothing under a finger, and says when it is no longer up to date.
//
// Whoever dresses up elements with a script listens for "hall:part", sent to each part that was put in anew.

import { follow } from "./live/connection";
import { focusIn, folds, isHeld, scroll, written } from "./live/hold";
import { isQuiet, keyOf, pieces, print, type Print } from "./live/print";

const DEBOUNCE = 150; // ms in which several changes become one
const BETWEEN = 1_000; // ms from one asking to the next, doubled with each that fails
const BETWEEN_MOST = 60_000;
const SAY_AFTER = 3; // failures in a row
const PATIENCE = 20_000; // ms for the page to come
const NEW = 6_000; // ms that what is new is marked
const SAID = 10_000; // ms from one announcement to the next
const BACK = 6_000; // ms that the bar says that all is well

const page = document.body;
const text = (key: string, filled: Record<string, string> = {}): string =>
  (page.dataset[key] ?? "").replace(/\{(\w+)\}/g, (all, name: string) => filled[name] ?? all);

const partsOf = (root: ParentNode): HTMLElement[] => [...root.querySelectorAll<HTMLElement>("[data-live][id]")];

const sent = new Map<string, Print>();
const waiting = new Map<string, HTMLElement>();
let shown = Number(page.dataset["seq"]);
let wanted = shown;
let shownAt = page.dataset["liveAt"] ?? "";

// ---- what is said ----

const voice = document.createElement("p");
voice.className = "unseen";
voice.setAttribute("role", "status");
const bar = document.createElement("p");
bar.className = "live-bar";
bar.setAttribute("role", "status");
page.prepend(bar);
page.append(voice);

const unsaid = new Set<string>();
let saying = 0;

const announce = (parts: string[]): void => {
  parts.forEach((p) => unsaid.add(p));
  if (saying || unsaid.size === 0) return;
  voice.textContent = text("liveChanged", { parts: [...unsaid].join(", ") });
  unsaid.clear();
  saying = window.setTimeout(() => {
    saying = 0;
    announce([]);
  }, SAID);
};

const nameOf = (part: Element): string =>
  part.getAttribute("data-live-name") ?? part.querySelector("h1, h2, h3, summary")?.textContent?.trim() ?? document.title;

// ---- putting parts in ----

const markNew = (part: HTMLElement, old: Print | undefined, now: Print): void => {
  const all = [...part.querySelectorAll<HTMLElement>(pieces)];
  const fresh = all.filter((p) => old?.pieces.get(keyOf(p)) !== now.pieces.get(keyOf(p)));
  const marked = all.length > 0 ? fresh : [part];
  marked.forEach((e) => e.classList.add("is-new"));
  window.setTimeout(() => marked.forEach((e) => e.classList.remove("is-new")), NEW);
};

const offerOf = (id: string): HTMLElement | null => document.getElementById(`${id}-changed`);

const put = (old: HTMLElement, fresh: HTMLElement): void => {
  const id = old.id;
  const [before, now] = [sent.get(id), print(fresh)];
  offerOf(id)?.remove();
  waiting.delete(id);
  const restore = [folds(old), written(old), focusIn(old)];
  const keepScroll = scroll();
  const part = document.importNode(fresh, true);
  sent.set(id, now);
  old.replaceWith(part);
  part.dispatchEvent(new CustomEvent("hall:part", { bubbles: true }));
  restore.forEach((r) => r(part));
  keepScroll();
  if (!isQuiet(part) && before?.news !== now.news) markNew(part, before, now);
};

/** offer says that a part is no longer as it is, and leaves to the person when to look. */
const offer = (old: HTMLElement): void => {
  if (offerOf(old.id)) return;
  const line = document.createElement("p");
  line.id = `${old.id}-changed`;
  line.className = "live-here";
  const said = document.createElement("span");
  said.setAttribute("role", "status");
  const show = document.createElement("button");
  show.type = "button";
  show.className = "quiet";
  show.textContent = text("liveShow");
  show.addEventListener("click", () => {
    const [part, fresh] = [document.getElementById(old.id), waiting.get(old.id)];
    if (!part || !fresh) return;
    put(part, fresh);
    const shownPart = document.getElementById(old.id);
    shownPart?.setAttribute("tabindex", "-1");
    shownPart?.focus({ preventScroll: true });
  });
  line.append(said, " ", show);
  if (old.matches("div, section, article, form")) old.prepend(line);
  else old.before(line);
  said.textContent = text("liveHere", { part: nameOf(old) });
};

/** take puts one part in, or keeps it until it may be; it answers the part's name where somebody should hear of it. */
const take = (old: HTMLElement, fresh: HTMLElement): string => {
  const [before, now] = [sent.get(old.id), print(fresh)];
  if (before?.all === now.all) {
    offerOf(old.id)?.remove();
    waiting.delete(old.id);
    return "";
  }
  const news = before?.news !== now.news;
  if (isHeld(old, fresh)) {
    waiting.set(old.id, fresh);
    if (news) offer(old);
    return "";
  }
  put(old, fresh);
  return news && !isQuiet(fresh) ? nameOf(fresh) : "";
};

const takeAll = (answer: Document): void => {
  const names = partsOf(document).map((old) => {
    const fresh = answer.getElementById(old.id);
    return fresh?.hasAttribute("data-live") ? take(old, fresh) : "";
  });
  announce(names.filter((n) => n !== ""));
};

const sleep = (ms: number): Promise<void> => new Promise((done) => window.setTimeout(done, ms));

// Nothing moves between a finger's coming down and its click.
let pressed = false;
document.addEventListener("pointerdown", () => (pressed = true), true);
for (const end of ["pointerup", "pointercancel"]) document.addEventListener(end, () => window.setTimeout(() => (pressed = false), 300), true);

const released = async (): Promise<void> => {
  for (let i = 0; pressed && i < 30; i++) await sleep(100);
};

// What was kept back because somebody was in a field goes in when they leave it without having written.
document.addEventListener("focusout", async () => {
  await sleep(0);
  await released();
  waiting.forEach((fresh, id) => {
    const old = document.getElementById(id);
    if (old && !isHeld(old, fresh)) put(old, fresh);
  });
});

// ---- asking for the page ----

const ask = async (): Promise<Document | null> => {
  const answer = await fetch(location.pathname + location.search, {
    headers: { Accept: "text/html" },
    cache: "no-cache",
    signal: AbortSignal.timeout(PATIENCE),
  });
  return answer.ok && !answer.redirected ? new DOMParser().parseFromString(await answer.text(), "text/html") : null;
};

let asking = false;
let failures = 0; // one after the other

// A team is late by the clock alone: the page says after how many seconds it will have something else to show.
let turned = false;
let turning = 0;

const turn = (): void => {
  window.clearTimeout(turning);
  const seconds = Number(page.dataset["liveAgain"] ?? 0);
  if (seconds <= 0) return;
  turning = window.setTimeout(() => {
    turned = true;
    void refresh();
  }, seconds * 1_000);
};

/** hear asks once; what fails is tried again, ever more seldom, and said when it goes on. */
const hear = async (): Promise<void> => {
  const answer = await ask().catch(() => null);
  await released();
  if (!answer) {
    if (++failures === SAY_AFTER) tell(text("liveLost", { time: shownAt }), true);
    return;
  }
  takeAll(answer);
  shown = Math.max(shown, Number(answer.body.dataset["seq"] ?? 0));
  shownAt = answer.body.dataset["liveAt"] ?? shownAt;
  page.dataset["seq"] = String(shown);
  page.dataset["liveAgain"] = answer.body.dataset["liveAgain"] ?? "0";
  turned = false;
  turn();
  if (failures >= SAY_AFTER) tell(text("liveBack"), false);
  failures = 0;
};

const refresh = async (): Promise<void> => {
  if (asking || (wanted <= shown && !turned)) return;
  asking = true;
  await sleep(DEBOUNCE + Math.random() * Number(page.dataset["liveSpread"] ?? 0));
  await hear();
  await sleep(Math.min(BETWEEN * 2 ** failures, BETWEEN_MOST));
  asking = false;
  void refresh();
};

const changed = (seq: number): void => {
  wanted = Math.max(wanted, seq);
  void refresh();
};

let clearing = 0;
const tell = (words: string, lost: boolean): void => {
  window.clearTimeout(clearing);
  bar.textContent = words;
  bar.classList.toggle("live-bar-lost", lost);
  if (!lost) clearing = window.setTimeout(() => (bar.textContent = ""), BACK);
};

/** back waits for what was missed, which comes right behind the line itself. */
const back = async (): Promise<void> => {
  await sleep(2 * DEBOUNCE);
  for (let i = 0; wanted > shown && i < 50; i++) await sleep(100);
  if (wanted <= shown) tell(text("liveBack"), false);
};

if (page.dataset["liveUrl"] && partsOf(document).length > 0) {
  turn();
  partsOf(document).forEach((part) => sent.set(part.id, print(part)));
  follow(
    {
      url: page.dataset["liveUrl"],
      shown: () => shown,
      changed,
      restored: (seq) => {
        shown = -1;
        wanted = seq;
        void refresh();
      },
      lost: (at) => tell(text("liveLost", { time: at }), true),
      back: () => void back(),
    },
    page.dataset["liveAt"] ?? "",
  );
}
