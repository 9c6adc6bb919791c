// web/src/photographs.ts
var EDGE = 2400;
var SMALL_ENOUGH = 15e5;
var QUALITY = 0.85;
var PREVIEW = 320;
var HEAD = 131072;
var taken = /* @__PURE__ */ new WeakSet();
var wallClock = async (file) => {
  const text = new TextDecoder("latin1").decode(await file.slice(0, HEAD).arrayBuffer());
  const found = /((?:19|20)\d\d):([01]\d):([0-3]\d) ([0-2]\d):([0-5]\d):([0-6]\d)\0/.exec(text);
  return found ? `${found[1]}-${found[2]}-${found[3]}T${found[4]}:${found[5]}:${found[6]}` : "";
};
var draw = (from, edge) => {
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
var asJPEG = (canvas) => new Promise((done) => canvas.toBlob(done, "image/jpeg", QUALITY));
var smaller = async (file, picture) => {
  if (Math.max(picture.width, picture.height) <= EDGE && file.size <= SMALL_ENOUGH) return file;
  const blob = await asJPEG(draw(picture, EDGE));
  return blob && blob.size < file.size ? new File([blob], "photograph.jpg", { type: "image/jpeg" }) : file;
};
var enhance = (form) => {
  if (taken.has(form)) return;
  taken.add(form);
  const inputs = [...form.querySelectorAll('input[type="file"]')];
  const preview = form.querySelector("[data-preview]");
  const said = form.querySelector("[data-said]");
  const send = form.querySelector('button[type="submit"]');
  const say = (key, n = "") => {
    if (said) said.textContent = (form.dataset[key] ?? "").replace("{n}", n);
  };
  let turn = 0;
  let working = Promise.resolve();
  const when = document.createElement("input");
  when.type = "hidden";
  when.name = "taken";
  form.append(when);
  const choose = async (input) => {
    const mine = ++turn;
    const file = input.files?.[0];
    when.value = "";
    preview?.replaceChildren();
    if (preview) preview.hidden = true;
    if (!file) {
      say("");
      return;
    }
    inputs.filter((other) => other !== input).forEach((other) => other.value = "");
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
      if (mine === turn) say("");
    }
  };
  inputs.forEach((input) => input.addEventListener("change", () => working = choose(input)));
  const goPlainly = () => form.submit();
  const go = () => {
    const request = new XMLHttpRequest();
    request.open("POST", form.action);
    request.upload.addEventListener("progress", (e) => {
      if (e.lengthComputable) say("sending", String(Math.round(100 * e.loaded / e.total)));
    });
    request.addEventListener("load", () => {
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
    if (!inputs.some((input) => input.files?.length)) return;
    e.preventDefault();
    if (send) send.disabled = true;
    say("sending", "0");
    void working.then(go);
  });
};
var all = (within) => within.querySelectorAll("form[data-photograph]").forEach(enhance);
all(document);
document.addEventListener("hall:part", (e) => all(e.target));
addEventListener(
  "pageshow",
  () => document.querySelectorAll("form[data-photograph] button[type=submit]").forEach((b) => b.disabled = false)
);
