// web/src/live/connection.ts
var LOST = 5e3;
var SILENT = 35e3;
var HIDDEN = 5e3;
var AGAIN = 2e3;
var AGAIN_MOST = 3e4;
var wait = (failures2) => Math.min(AGAIN * 2 ** failures2, AGAIN_MOST) * (0.5 + Math.random());
var follow = (line, at) => {
  let source = null;
  let heardAt = performance.now();
  let failures2 = 0;
  let isLost = false;
  let saying2 = 0;
  let again = 0;
  let hiding = 0;
  const heard = () => {
    heardAt = performance.now();
    failures2 = 0;
    window.clearTimeout(saying2);
    saying2 = 0;
    if (isLost) {
      isLost = false;
      line.back();
    }
  };
  const say = () => {
    saying2 = 0;
    if (isLost || document.hidden) return;
    isLost = true;
    line.lost(at);
  };
  const missing = () => {
    if (!saying2 && !isLost) saying2 = window.setTimeout(say, LOST);
  };
  const close = () => {
    source?.close();
    source = null;
    window.clearTimeout(again);
    again = 0;
  };
  const failed = () => {
    missing();
    if (source?.readyState !== EventSource.CLOSED) return;
    close();
    again = window.setTimeout(open, wait(failures2++));
  };
  const open = () => {
    close();
    if (document.hidden) return;
    heardAt = performance.now();
    source = new EventSource(`${line.url}?after=${line.shown()}`);
    source.addEventListener("error", failed);
    source.addEventListener("alive", (e) => {
      at = JSON.parse(e.data).at;
      heard();
    });
    source.addEventListener("change", (e) => {
      heard();
      line.changed(Number(e.lastEventId));
    });
    source.addEventListener("restored", (e) => {
      heard();
      line.restored(Number(e.lastEventId));
    });
  };
  const look = () => {
    window.clearTimeout(hiding);
    if (document.hidden) {
      hiding = window.setTimeout(close, HIDDEN);
      return;
    }
    if (!source && !again) open();
  };
  window.setInterval(() => {
    if (!source || performance.now() - heardAt < SILENT) return;
    say();
    open();
  }, 5e3);
  document.addEventListener("visibilitychange", look);
  window.addEventListener("pagehide", close);
  window.addEventListener("pageshow", (e) => {
    if (e.persisted) open();
  });
  window.addEventListener("offline", () => {
    missing();
    open();
  });
  window.addEventListener("online", open);
  open();
};

// web/src/live/print.ts
var pieces = "[data-row], [data-mark]";
var keyOf = (piece) => piece?.dataset["row"] ?? piece?.dataset["mark"] ?? "";
var bare = (element) => {
  const copy = element.cloneNode(true);
  copy.querySelectorAll('input[name="command"]').forEach((input) => input.removeAttribute("value"));
  return copy;
};
var ageless = (element) => {
  element.querySelectorAll("[data-ages]").forEach((e) => e.replaceChildren());
  return element.outerHTML;
};
var print = (part) => {
  const copy = bare(part);
  const all = copy.outerHTML;
  const news = ageless(copy);
  const found = [...copy.querySelectorAll(pieces)];
  return { all, news, pieces: new Map(found.map((piece) => [keyOf(piece), piece.outerHTML])) };
};
var isQuiet = (part) => part.getAttribute("data-live") === "quiet";

// web/src/live/hold.ts
var fieldsOf = (part) => [...part.querySelectorAll("input, textarea, select")].filter((f) => f.type !== "hidden");
var isTouched = (field) => {
  if (field instanceof HTMLSelectElement) {
    const sent2 = [...field.options].findIndex((o) => o.defaultSelected);
    return field.selectedIndex !== Math.max(sent2, 0);
  }
  if (field instanceof HTMLInputElement && (field.type === "radio" || field.type === "checkbox")) {
    return field.checked !== field.defaultChecked;
  }
  return field.value !== field.defaultValue;
};
var isField = (element) => element?.matches("input:not([type=hidden]), textarea, select") ?? false;
var pieceOf = (element) => keyOf(element?.closest(pieces));
var pieceIn = (part, key) => [...part.querySelectorAll(pieces)].find((piece) => keyOf(piece) === key);
var isHeld = (part, fresh) => {
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
var controls = "a[href], button, input, select, textarea, summary";
var focusIn = (part) => {
  const active = document.activeElement;
  if (!active || !part.contains(active)) return () => void 0;
  const row = pieceOf(active);
  const place = [...((row ? pieceIn(part, row) : part) ?? part).querySelectorAll(controls)].indexOf(active);
  return (fresh) => {
    const inside = (row ? pieceIn(fresh, row) : fresh) ?? fresh;
    const to = active.id && fresh.querySelector(`#${CSS.escape(active.id)}`) || inside.querySelectorAll(controls)[place];
    if (to instanceof HTMLElement) to.focus({ preventScroll: true });
  };
};
var folds = (part) => {
  const name = (d) => pieceOf(d) + (d.querySelector("summary")?.textContent ?? "").trim();
  const states = new Map([...part.querySelectorAll("details")].map((d) => [name(d), d.open]));
  return (fresh) => fresh.querySelectorAll("details").forEach((d) => {
    d.open = states.get(name(d)) ?? d.open;
  });
};
var written = (part) => {
  const place = (f) => [f.form?.getAttribute("action"), f.name, f.type === "radio" ? f.value : ""].join(" ");
  const touched = new Map(fieldsOf(part).filter(isTouched).map((f) => [place(f), f]));
  return (fresh) => fieldsOf(fresh).forEach((to) => {
    const from = touched.get(place(to));
    if (!from) return;
    if (to instanceof HTMLInputElement && from instanceof HTMLInputElement && /radio|checkbox/.test(to.type)) to.checked = from.checked;
    else to.value = from.value;
  });
};
var scroll = () => {
  if (scrollY === 0) return () => void 0;
  const seen = [...document.querySelectorAll(`${pieces}, main [id]`)].find((e) => e.getBoundingClientRect().top >= 0);
  if (!seen) return () => void 0;
  const top = seen.getBoundingClientRect().top;
  const key = keyOf(seen);
  return () => {
    const now = key ? pieceIn(document.body, key) : document.getElementById(seen.id);
    if (now) scrollBy({ top: now.getBoundingClientRect().top - top, behavior: "instant" });
  };
};

// web/src/live.ts
var DEBOUNCE = 150;
var BETWEEN = 1e3;
var BETWEEN_MOST = 6e4;
var SAY_AFTER = 3;
var PATIENCE = 2e4;
var NEW = 6e3;
var SAID = 1e4;
var BACK = 6e3;
var page = document.body;
var text = (key, filled = {}) => (page.dataset[key] ?? "").replace(/\{(\w+)\}/g, (all, name) => filled[name] ?? all);
var partsOf = (root) => [...root.querySelectorAll("[data-live][id]")];
var sent = /* @__PURE__ */ new Map();
var waiting = /* @__PURE__ */ new Map();
var shown = Number(page.dataset["seq"]);
var wanted = shown;
var shownAt = page.dataset["liveAt"] ?? "";
var voice = document.createElement("p");
voice.className = "unseen";
voice.setAttribute("role", "status");
var bar = document.createElement("p");
bar.className = "live-bar";
bar.setAttribute("role", "status");
page.prepend(bar);
page.append(voice);
var unsaid = /* @__PURE__ */ new Set();
var saying = 0;
var announce = (parts) => {
  parts.forEach((p) => unsaid.add(p));
  if (saying || unsaid.size === 0) return;
  voice.textContent = text("liveChanged", { parts: [...unsaid].join(", ") });
  unsaid.clear();
  saying = window.setTimeout(() => {
    saying = 0;
    announce([]);
  }, SAID);
};
var nameOf = (part) => part.getAttribute("data-live-name") ?? part.querySelector("h1, h2, h3, summary")?.textContent?.trim() ?? document.title;
var markNew = (part, old, now) => {
  const all = [...part.querySelectorAll(pieces)];
  const fresh = all.filter((p) => old?.pieces.get(keyOf(p)) !== now.pieces.get(keyOf(p)));
  const marked = all.length > 0 ? fresh : [part];
  marked.forEach((e) => e.classList.add("is-new"));
  window.setTimeout(() => marked.forEach((e) => e.classList.remove("is-new")), NEW);
};
var offerOf = (id) => document.getElementById(`${id}-changed`);
var put = (old, fresh) => {
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
var offer = (old) => {
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
var take = (old, fresh) => {
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
var takeAll = (answer) => {
  const names = partsOf(document).map((old) => {
    const fresh = answer.getElementById(old.id);
    return fresh?.hasAttribute("data-live") ? take(old, fresh) : "";
  });
  announce(names.filter((n) => n !== ""));
};
var sleep = (ms) => new Promise((done) => window.setTimeout(done, ms));
var pressed = false;
document.addEventListener("pointerdown", () => pressed = true, true);
for (const end of ["pointerup", "pointercancel"]) document.addEventListener(end, () => window.setTimeout(() => pressed = false, 300), true);
var released = async () => {
  for (let i = 0; pressed && i < 30; i++) await sleep(100);
};
document.addEventListener("focusout", async () => {
  await sleep(0);
  await released();
  waiting.forEach((fresh, id) => {
    const old = document.getElementById(id);
    if (old && !isHeld(old, fresh)) put(old, fresh);
  });
});
var ask = async () => {
  const answer = await fetch(location.pathname + location.search, {
    headers: { Accept: "text/html" },
    cache: "no-cache",
    signal: AbortSignal.timeout(PATIENCE)
  });
  return answer.ok && !answer.redirected ? new DOMParser().parseFromString(await answer.text(), "text/html") : null;
};
var asking = false;
var failures = 0;
var turned = false;
var turning = 0;
var turn = () => {
  window.clearTimeout(turning);
  const seconds = Number(page.dataset["liveAgain"] ?? 0);
  if (seconds <= 0) return;
  turning = window.setTimeout(() => {
    turned = true;
    void refresh();
  }, seconds * 1e3);
};
var hear = async () => {
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
var refresh = async () => {
  if (asking || wanted <= shown && !turned) return;
  asking = true;
  await sleep(DEBOUNCE + Math.random() * Number(page.dataset["liveSpread"] ?? 0));
  await hear();
  await sleep(Math.min(BETWEEN * 2 ** failures, BETWEEN_MOST));
  asking = false;
  void refresh();
};
var changed = (seq) => {
  wanted = Math.max(wanted, seq);
  void refresh();
};
var clearing = 0;
var tell = (words, lost) => {
  window.clearTimeout(clearing);
  bar.textContent = words;
  bar.classList.toggle("live-bar-lost", lost);
  if (!lost) clearing = window.setTimeout(() => bar.textContent = "", BACK);
};
var back = async () => {
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
      back: () => void back()
    },
    page.dataset["liveAt"] ?? ""
  );
}
