// A form that sends a photograph: the picture is shown, made smaller before it goes where the browser can do that, and
// how far it has come is said. Where anything of this fails, the form goes as it would without scripts. Every text
// comes from data attributes.

const EDGE = 2400; // px, the long edge that is kept anyway (media.FullEdge)
const SMALL_ENOUGH = 1_500_000; // bytes that are sent as they are
const QUALITY = 0.85;
const PREVIEW = 320; // px
const HEAD = 131_072; // bytes in which a camera's own data lies

const taken = new WeakSet<HTMLFormElement>();

/** wallClock finds when the camera says it was: EXIF 2.32, 4.6.5 writes "YYYY:MM:DD HH:MM:SS" and a zero byte. */
const wallClock = async (file: File): Promise<string> => {
  const text = new TextDecoder("latin1").decode(await file.slice(0, HEAD).arrayBuffer());
  const found = /((?:19|20)\d\d):([01]\d):([0-3]\d) ([0-2]\d):([0-5]\d):([0-6]\d)\0/.exec(text);
  return found ? `${found[1]}-${found[2]}-${found[3]}T${found[4]}:${found[5]}:${found[6]}` : "";
};

const draw = (from: ImageBitmap, edge: number): HTMLCanvasElement => {
  const scale = Math.min(1, edge / Math.max(from.width, from.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(from.width * scale));
  canvas.height = Math.max(1, Math.round(from.height * scale));
  const pen = canvas.getContext("2d");
  if (!pen) throw new Error("no canvas");
  pen.imageSmoothingQuality = "high";
  pen.drawImage(from, 0, 0, canvas.width, canvas.height);
  return canvas;
};

const asJPEG = (canvas: HTMLCanvasElement): Promise<Blob | null> =>
  new Promise((done) => canvas.toBlob(done, "image/jpeg", QUALITY));

/** smaller is the picture as it will be kept; the file itself where it is small already or comes out no smaller. */
const smaller = async (file: File, picture: ImageBitmap): Promise<File> => {
  if (Math.max(picture.width, picture.height) <= EDGE && file.size <= SMALL_ENOUGH) return file;
  const blob = await asJPEG(draw(picture, EDGE));
  return blob && blob.size < file.size ? new File([blob], "photograph.jpg", { type: "image/jpeg" }) : file;
};

const enhance = (form: HTMLFormElement): void => {
  if (taken.has(form)) return;
  taken.add(form);
  const inputs = [...form.querySelectorAll<HTMLInputElement>('input[type="file"]')];
  const preview = form.querySelector<HTMLElement>("[data-preview]");
  const said = form.querySelector<HTMLElement>("[data-said]");
  const send = form.querySelector<HTMLButtonElement>('button[type="submit"]');
  const say = (key: string, n = ""): void => {
    if (said) said.textContent = (form.dataset[key] ?? "").replace("{n}", n);
  };
  let turn = 0;
  let working: Promise<void> = Promise.resolve();

  const when = document.createElement("input");
  when.type = "hidden";
  when.name = "taken";
  form.append(when);

  const choose = async (input: HTMLInputElement): Promise<void> => {
    const mine = ++turn;
    const file = input.files?.[0];
    when.value = "";
    preview?.replaceChildren();
    if (preview) preview.hidden = true;
    if (!file) {
      say("");
      return;
    }
    inputs.filter((other) => other !== input).forEach((other) => (other.value = ""));
    say("shrinking");
    try {
      const clock = await wallClock(file);
      const picture = await createImageBitmap(file);
      const shown = draw(picture, PREVIEW);
      const ready = await smaller(file, picture);
      picture.close();
      if (mine !== turn) return;
      if (ready !== file) {
        const list = new DataTransfer();
        list.items.add(ready);
        input.files = list.files;
        when.value = clock;
      }
      shown.setAttribute("aria-hidden", "true");
      preview?.replaceChildren(shown);
      if (preview) preview.hidden = false;
      say("ready");
    } catch {
      if (mine === turn) say(""); // the hall looks at it, and says what is wrong
    }
  };

  inputs.forEach((input) => input.addEventListener("change", () => (working = choose(input))));

  const goPlainly = (): void => form.submit();

  const go = (): void => {
    const request = new XMLHttpRequest();
    request.open("POST", form.action);
    request.upload.addEventListener("progress", (e) => {
      if (e.lengthComputable) say("sending", String(Math.round((100 * e.loaded) / e.total)));
    });
    request.addEventListener("load", () => {
      // A form that was not taken comes back as a page, which the browser shows when it sends the form itself: the
      // command's id is the same, so that nothing is there twice.
      if (request.status !== 200) goPlainly();
      else location.assign(request.responseURL);
    });
    request.addEventListener("error", () => {
      say("failed");
      if (send) send.disabled = false;
    });
    request.send(new FormData(form));
  };

  form.addEventListener("submit", (e) => {
    if (!inputs.some((input) => input.files?.length)) return; // the hall says that there is none
    e.preventDefault();
    if (send) send.disabled = true;
    say("sending", "0");
    void working.then(go);
  });
};

const all = (within: ParentNode): void => within.querySelectorAll<HTMLFormElement>("form[data-photograph]").forEach(enhance);

all(document);
document.addEventListener("hall:part", (e) => all(e.target as Element));
addEventListener("pageshow", () =>
  document.querySelectorAll<HTMLButtonElement>("form[data-photograph] button[type=submit]").forEach((b) => (b.disabled = false)),
);

export {};
