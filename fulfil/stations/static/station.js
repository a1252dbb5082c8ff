// A page's own script: lines are sent one after the other, each once, and the middle of the page is put in place.
// Without it every page still works: its forms are plain forms.
"use strict";
(() => {
  const aloud = document.getElementById("aloud");
  const down = document.getElementById("line-down");
  const waiting = [];
  let isSending = false;

  const fresh = () => Array.from(crypto.getRandomValues(new Uint8Array(12)), (n) => n.toString(16).padStart(2, "0")).join("");
  const work = () => document.getElementById("work");
  const scan = () => document.querySelector("[data-scan]");

  // What is sent is made when its turn comes: the page then shows what the line before it brought in hand.
  async function sendAll() {
    if (isSending) return;
    isSending = true;
    while (waiting.length) {
      const one = waiting[0];
      const bag = document.querySelector("#work input[name=bag]");
      one.body.set("bag", bag ? bag.value : "");
      const text = one.body.toString();
      work().classList.add("sending");
      const answer = await ask(one, text);
      waiting.shift();
      if (answer.go) { location.assign(answer.go); return; }
      put(answer.part);
    }
    isSending = false;
  }

  async function ask(one, text) {
    for (let tries = 0; ; tries += 1) {
      try {
        const got = await fetch(one.path, {
          method: "POST", body: text, redirect: "error",
          headers: { "Content-Type": "application/x-www-form-urlencoded", "X-Part": "1" },
        });
        const go = got.headers.get("X-Go");
        const part = await got.text();
        down.hidden = true;
        return { go, part };
      } catch (trouble) {
        const n = waiting.length;
        down.hidden = false;
        down.textContent = `Not sent yet: ${waiting.map((w) => w.says).join(", ")}. The shop's computer doesn't answer; `
          + `${n === 1 ? "it is" : "they are"} sent again by ${n === 1 ? "itself" : "themselves"}. Don't key ${n === 1 ? "it" : "them"} again.`;
        await new Promise((done) => setTimeout(done, Math.min(500 * 2 ** tries, 4000)));
      }
    }
  }

  function put(html) {
    const page = new DOMParser().parseFromString(html, "text/html");
    const next = page.getElementById("work");
    if (!next) { location.reload(); return; }
    // A scanner may be in the middle of its next code: what it has typed goes on in the new field.
    const typed = scan() ? scan().value : "";
    work().replaceWith(document.importNode(next, true));
    begin();
    if (typed && scan()) scan().value = typed;
    aloud.textContent = "";
    setTimeout(() => { aloud.textContent = work().dataset.say || ""; }, 30);
    ring(work().dataset.sound);
    window.scrollTo(0, 0);
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("[data-live]")) return;
    event.preventDefault();
    const body = new URLSearchParams(new FormData(form, event.submitter));
    body.set("key", fresh());
    const says = (body.get("line") || "").trim();
    if (form.matches(".entry:not([data-may-be-empty])") && !says) return;
    waiting.push({ path: form.getAttribute("action"), body, says });
    if (form.matches(".entry")) form.querySelector("[data-scan]").value = "";
    sendAll();
  });

  // A scanner types wherever the focus is: its first character goes to the scan field, and so do all that follow.
  document.addEventListener("keydown", (event) => {
    const field = scan();
    if (!field || event.ctrlKey || event.altKey || event.metaKey || event.key.length !== 1) return;
    if (event.target.matches("input, textarea, select") || (event.key === " " && event.target.matches("button, a"))) return;
    field.focus();
  });

  document.addEventListener("click", (event) => {
    const key = event.target.closest("[data-sign]");
    if (key) {
      const field = document.getElementById(key.closest("[data-into]").dataset.into);
      field.value = key.dataset.sign === "back" ? field.value.slice(0, -1) : field.value + key.dataset.sign;
      return;
    }
    if (event.target.closest("[data-keys]")) { scan().inputMode = "text"; scan().blur(); scan().focus(); }
  });

  // Sounds, told apart by their number and by the pauses between them, as the bells of the bench's terminal.
  const RINGS = { passed: [[0, 880]], sealed: [[0, 880]], look: [[0, 660], [.2, 660]], recount: [[0, 440], [.2, 440], [.4, 440]],
    stop: [[0, 330], [.2, 330], [.4, 330], [.6, 330], [.8, 330]], refused: [[0, 550], [.6, 550]] };
  const soundButton = document.getElementById("sound");
  let sounds = null;
  function ring(name) {
    if (!sounds || !RINGS[name]) return;
    for (const [after, hertz] of RINGS[name]) {
      const tone = sounds.createOscillator();
      const loud = sounds.createGain();
      tone.frequency.value = hertz;
      loud.gain.value = 0.2;
      tone.connect(loud).connect(sounds.destination);
      tone.start(sounds.currentTime + after);
      tone.stop(sounds.currentTime + after + 0.13);
    }
  }
  if (soundButton && window.AudioContext) {
    soundButton.hidden = false;
    soundButton.addEventListener("click", () => {
      if (sounds) { sounds.close(); sounds = null; } else { sounds = new AudioContext(); ring("passed"); }
      soundButton.setAttribute("aria-pressed", String(Boolean(sounds)));
    });
  }

  function begin() {
    for (const one of document.querySelectorAll("[data-into], [data-keys]")) one.hidden = false;
    const field = scan();
    if (field) field.focus({ preventScroll: true });
  }
  // A badge that is scanned ends with Enter; the PIN comes next.
  document.addEventListener("keydown", (event) => {
    const field = event.target;
    if (event.key !== "Enter" || !field.matches("[data-then]") || !field.value) return;
    event.preventDefault();
    document.getElementById(field.dataset.then).focus();
  });
  // A stream of news. Where it breaks, or brings nothing for a minute (a dead spot breaks no stream), the page says so.
  function hear(path, took) {
    const stream = new EventSource(path);
    let watch = 0;
    const isOld = () => {
      down.hidden = false;
      down.textContent = "The shop's computer doesn't answer: what stands here is old.";
    };
    const isThere = () => {
      clearTimeout(watch);
      watch = setTimeout(isOld, 60000);
      down.hidden = true;
    };
    stream.onopen = isThere;
    stream.onmessage = (event) => { isThere(); took(event.data); };
    stream.addEventListener("quiet", isThere);
    stream.onerror = isOld;
  }
  // The wall: its middle is sent when something has happened.
  const wall = document.querySelector("[data-changes]");
  if (wall) {
    hear(wall.dataset.changes, (middle) => {
      const next = new DOMParser().parseFromString(middle, "text/html").getElementById("work");
      if (next) work().replaceWith(document.importNode(next, true));
    });
  }
  // A bench: a scale beside it, or another tablet of it, has done something.
  if (work() && work().dataset.moves) {
    const moves = new EventSource("/bench/moves");
    moves.onmessage = async (event) => {
      if (isSending || event.data === work().dataset.moves) return;
      try {
        const got = await fetch(location.href, { headers: { "X-Part": "1" } });
        const go = got.headers.get("X-Go");
        if (go) { location.assign(go); return; }
        const part = await got.text();
        if (!isSending && got.ok) put(part);
      } catch (trouble) { /* the next move asks again */ }
    };
  }
  // A desk: asked for anew when something has happened, unless somebody is in the middle of it.
  if (document.querySelector("[data-news]")) {
    const isBusy = () => isSending || document.querySelector("#work details[open]")
      || [...document.querySelectorAll("#work input:not([type=hidden])")].some((one) => one.value !== one.defaultValue || one === document.activeElement);
    let isAsked = false;
    hear("/news", async () => {
      if (isAsked || isBusy()) return;
      isAsked = true;
      try {
        const got = await fetch(location.href, { headers: { "X-Part": "1" } });
        const next = new DOMParser().parseFromString(await got.text(), "text/html").getElementById("work");
        if (next && !isBusy() && !work().querySelector(".told")) { work().replaceWith(document.importNode(next, true)); begin(); }
      } catch (trouble) { /* the next news asks again */ }
      isAsked = false;
    });
  }
  // Whoever signs out takes the kept walk with them; marks that wait stay for the one who made them.
  if (document.body.matches(".door")) {
    if (window.caches) caches.delete("cart").catch(() => {});
    const waits = Object.keys(localStorage).filter((name) => name.startsWith("mark ")).length;
    if (waits) {
      down.hidden = false;
      down.textContent = `${waits} mark${waits === 1 ? " waits" : "s wait"} on this tablet: sign in, and ${waits === 1 ? "it is" : "they are"} sent.`;
    }
  }
  window.addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
  begin();
})();
