// The line to the hall: server-sent events, and what to do when they stop coming. It knows nothing of the page.

export interface Line {
  /** address of the stream */
  url: string;
  /** the last change that the page shows */
  shown: () => number;
  /** there is a newer change */
  changed: (seq: number) => void;
  /** the log is shorter than what was shown: it was restored from a backup */
  restored: (seq: number) => void;
  /** nothing was heard for a while; at is the hall's clock when something last was */
  lost: (at: string) => void;
  /** and now it is there again */
  back: () => void;
}

const LOST = 5_000; // ms without a connection before it is said
const SILENT = 35_000; // ms: two beats of the server (15 s) and some; a cut cable never says that it was cut
const HIDDEN = 5_000; // ms: a browser has six connections a host (HTTP/1.1), and a tab that nobody sees needs none
const AGAIN = 2_000; // ms before a refused stream is asked for again, doubled each time
const AGAIN_MOST = 30_000;

/** A stretch that grows with each failure, spread so that a full hall does not come back in one moment. */
const wait = (failures: number): number => Math.min(AGAIN * 2 ** failures, AGAIN_MOST) * (0.5 + Math.random());

export const follow = (line: Line, at: string): void => {
  let source: EventSource | null = null;
  let heardAt = performance.now();
  let failures = 0;
  let isLost = false;
  let saying = 0;
  let again = 0;
  let hiding = 0;

  const heard = (): void => {
    heardAt = performance.now();
    failures = 0;
    window.clearTimeout(saying);
    saying = 0;
    if (isLost) {
      isLost = false;
      line.back();
    }
  };

  const say = (): void => {
    saying = 0;
    if (isLost || document.hidden) return;
    isLost = true;
    line.lost(at);
  };

  const missing = (): void => {
    if (!saying && !isLost) saying = window.setTimeout(say, LOST);
  };

  const close = (): void => {
    source?.close();
    source = null;
    window.clearTimeout(again);
    again = 0;
  };

  const failed = (): void => {
    missing();
    // A stream that broke is taken up again by the browser itself; one that was refused is not.
    if (source?.readyState !== EventSource.CLOSED) return;
    close();
    again = window.setTimeout(open, wait(failures++));
  };

  const open = (): void => {
    close();
    if (document.hidden) return;
    heardAt = performance.now();
    source = new EventSource(`${line.url}?after=${line.shown()}`);
    source.addEventListener("error", failed);
    source.addEventListener("alive", (e) => {
      at = (JSON.parse((e as MessageEvent<string>).data) as { at: string }).at;
      heard();
    });
    source.addEventListener("change", (e) => {
      heard();
      line.changed(Number((e as MessageEvent<string>).lastEventId));
    });
    source.addEventListener("restored", (e) => {
      heard();
      line.restored(Number((e as MessageEvent<string>).lastEventId));
    });
  };

  const look = (): void => {
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
  }, 5_000);
  document.addEventListener("visibilitychange", look);
  window.addEventListener("pagehide", close);
  window.addEventListener("pageshow", (e) => {
    if (e.persisted) open();
  });
  // A hall's own network may go on without the internet: it is asked, not believed.
  window.addEventListener("offline", () => {
    missing();
    open();
  });
  window.addEventListener("online", open);
  open();
};
