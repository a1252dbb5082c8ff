// The cart's page: one stop at a time, and marks that wait on the tablet until the shop has answered them.
// A mark is kept under a key of its own before it is shown; the shop does each key once.
"use strict";
(() => {
  const work = () => document.getElementById("work");
  const box = document.getElementById("outbox");
  const me = work().dataset.who;
  const walk = work().dataset.walk || "";
  const PREFIX = `mark ${work().dataset.station} `;
  const SECURE = "serviceWorker" in navigator;
  let isSending = false;
  let isDown = false;
  let told = [];

  const fresh = () => Array.from(crypto.getRandomValues(new Uint8Array(12)), (n) => n.toString(16).padStart(2, "0")).join("");
  const stops = () => [...document.querySelectorAll(".place")];
  const rowOf = (code) => [...document.querySelectorAll("[data-bag]")].find((one) => one.dataset.bag === code);

  // The outbox: each mark under a name of its own, in the order in which they were made.
  function marks() {
    const found = [];
    for (let place = 0; place < localStorage.length; place += 1) {
      const name = localStorage.key(place);
      if (name.startsWith(PREFIX)) found.push({ name, ...JSON.parse(localStorage.getItem(name)) });
    }
    return found.sort((one, other) => one.number - other.number);
  }
  function keep(line) {
    const number = Math.max(0, ...marks().map((one) => one.number)) + 1;
    const mark = { number, line, walk, who: me, key: fresh(), madeMs: Date.now() };
    localStorage.setItem(PREFIX + mark.key, JSON.stringify(mark));
  }

  function words(line) {
    const [verb, ...about] = line.split(" ");
    return { filled: "filled bag ", "not-filled": "not filled bag ", lacks: "too few in bin ", found: "found in bin ",
      begin: "begin walk ", end: "end of walk " }[verb] + about.join(" ");
  }

  const no = (says) => ({ says, no: true });

  function showBox() {
    const waiting = marks();
    const mine = waiting.filter((one) => one.who === me);
    const others = [...new Set(waiting.filter((one) => one.who !== me).map((one) => one.who))];
    box.textContent = "";
    const add = (tag, text, name) => {
      const one = document.createElement(tag);
      one.textContent = text;
      if (name) one.className = name;
      box.append(one);
      return one;
    };
    if (mine.length) {
      const why = isDown ? "No answer from the shop here: " : "";
      add("p", `${why}${mine.length} mark${mine.length === 1 ? " is" : "s are"} not sent yet`, "loud");
      add("p", `Last: ${words(mine[mine.length - 1].line)}. Go on picking; this tablet sends them by itself. Don't mark them again.`);
    }
    for (const who of others) add("p", `Marks of ${who} wait on this tablet: ${who} must sign in here once.`, "loud");
    for (const one of told) add("p", one.says, one.no ? "loud" : "");
    if (told.length) {
      const read = add("button", "I have read it", "quiet");
      read.type = "button";
      read.addEventListener("click", () => { told = []; showBox(); });
    }
    box.hidden = !box.childNodes.length;
    box.classList.toggle("refused", told.some((one) => one.no));
    box.classList.toggle("waits", Boolean(mine.length || others.length));
  }

  // What the shop doesn't know yet is shown as done by the picker, and as not sent.
  function showMarks() {
    for (const row of document.querySelectorAll("[data-bag].unsent")) row.classList.remove("unsent");
    for (const { line } of marks().filter((one) => one.who === me && one.walk === walk)) {
      const [verb, code] = line.split(" ");
      const row = verb === "filled" || verb === "not-filled" ? rowOf(code) : null;
      if (!row) continue;
      fill(row, verb === "filled");
      row.classList.add("unsent");
    }
    for (const stop of stops()) {
      const spot = document.getElementById(`at-${stop.dataset.stop}`);
      if (spot) spot.setAttribute("class", isDone(stop) ? "done" : "todo");
    }
  }
  function fill(row, isFilled) {
    row.classList.toggle("filled", isFilled);
    for (const button of row.querySelectorAll("button")) button.hidden = button.value.startsWith("filled") === isFilled;
  }
  const isDone = (stop) => [...stop.querySelectorAll("[data-bag]")].every((row) => row.classList.contains("filled"));

  async function sendAll() {
    if (isSending) return;
    isSending = true;
    for (let tries = 0; ;) {
      const [mark] = marks().filter((one) => one.who === me);
      if (!mark) break;
      const body = new URLSearchParams({ line: mark.line, key: mark.key, walk: mark.walk, who: mark.who,
        late_s: String(Math.max(0, Math.round((Date.now() - mark.madeMs) / 1000))) });
      try {
        const got = await fetch("/cart", { method: "POST", body, redirect: "error", headers: { "X-Part": "1" } });
        if (got.status === 409) { isSending = false; location.assign(got.headers.get("X-Go") || "/"); return; }
        const answer = await got.json();
        localStorage.removeItem(mark.name);
        isDown = false;
        tries = 0;
        if (!answer.done) told.push(no(`Not taken, ${words(mark.line)}: ${answer.says.join(" ")}`));
        else told.push(...answer.says.map((says) => ({ says })));
        showMarks();
        showBox();
        if (answer.anew && !marks().some((one) => one.who === me)) await renew();
      } catch (trouble) {
        isDown = true;
        showBox();
        tries += 1;
        await new Promise((done) => setTimeout(done, Math.min(500 * 2 ** tries, 5000)));
      }
    }
    isSending = false;
    showBox();
  }

  // The walk has changed: it is fetched anew; what was said stays until it is read.
  async function renew() {
    sessionStorage.setItem("told", JSON.stringify(told));
    location.reload();
    await new Promise(() => {});
  }

  let here = null;
  function show(stop, isAloud) {
    here = stop;
    for (const one of stops()) one.hidden = one !== stop;
    for (const spot of document.querySelectorAll(".floor .here")) spot.classList.remove("here");
    const spot = document.getElementById(`at-${stop.dataset.stop}`);
    if (spot) { spot.classList.add("here"); spot.parentNode.append(spot); }
    const left = stops().filter((one) => one.dataset.stop !== "end" && !isDone(one)).length;
    document.getElementById("left-over").textContent = left ? `${left} stop${left === 1 ? "" : "s"} to go` : "All bags are filled";
    document.getElementById("all-done").textContent = left ? `${left} stop${left === 1 ? " has" : "s have"} bags to fill` : `The end of walk ${walk}`;
    const all = stops();
    document.querySelector('[data-step="-1"]').disabled = stop === all[0];
    document.querySelector('[data-step="1"]').disabled = stop === all[all.length - 1];
    if (isAloud) {
      const aloud = document.getElementById("aloud");
      aloud.textContent = "";
      setTimeout(() => { aloud.textContent = stop.innerText.replace(/\s+/g, " ").slice(0, 300); }, 30);
      window.scrollTo(0, 0);
    }
  }
  function onward() {
    const all = stops();
    const from = all.indexOf(here);
    const next = [...all.slice(from), ...all.slice(0, from)].find((one) => one.dataset.stop !== "end" && !isDone(one));
    show(next || all[all.length - 1], true);
  }

  function mark(line) {
    keep(line);
    showMarks();
    showBox();
    if (/^filled /.test(line) && here && isDone(here)) onward();
    else if (here) show(here, false);
    sendAll();
  }
  document.getElementById("marks").addEventListener("submit", (event) => {
    event.preventDefault();
    const button = event.submitter;
    if (!button || !button.value) return;
    const fields = new FormData(event.target);
    const line = button.value.replace(/\$([\w-]+)/g, (_, name) => String(fields.get(name) || "").trim());
    if (/ $|  /.test(line)) { told = [no("Say how many pieces.")]; showBox(); return; }
    mark(line);
  });
  document.addEventListener("click", (event) => {
    const step = event.target.closest("[data-step]");
    if (!step) return;
    const all = stops();
    show(all[Math.min(all.length - 1, Math.max(0, all.indexOf(here) + Number(step.dataset.step)))], true);
  });

  // A scanner: a bag's label marks it filled, a bin's label brings its stop up.
  let typed = "";
  document.addEventListener("keydown", (event) => {
    if (event.target.matches("input, select, textarea") || event.ctrlKey || event.altKey || event.metaKey) return;
    if (event.key.length === 1 && (event.key !== " " || typed)) { typed += event.key; return; }
    if (event.key !== "Enter" || typed.length < 3) { if (event.key !== "Shift") typed = ""; return; }
    event.preventDefault();
    const code = typed.trim();
    typed = "";
    const row = rowOf(code);
    const stop = row ? row.closest(".place") : stops().find((one) => one.dataset.bin === code);
    if (!stop) { told = [no(`${code} is not on this walk.`)]; showBox(); return; }
    if (stop !== here) show(stop, true);
    if (row && !row.classList.contains("filled")) mark(`filled ${code}`);
  }, true);

  told = JSON.parse(sessionStorage.getItem("told") || "[]");
  sessionStorage.removeItem("told");
  showMarks();
  if (walk) {
    document.querySelector(".steps").hidden = false;
    const all = stops();
    show(all.find((one) => one.dataset.stop !== "end" && !isDone(one)) || all[all.length - 1], false);
  }
  showBox();
  sendAll();
  window.addEventListener("online", sendAll);
  if (SECURE) navigator.serviceWorker.register("/cart-worker.js", { scope: "/cart" }).then(() => {
    // The page that was loaded before there was a worker is kept as well.
    if (window.caches) caches.open("cart").then((kept) => Promise.all(["/cart", "/kept/station.css", "/kept/station.js", "/kept/cart.js"]
      .map(async (path) => { const got = await fetch(path); if (got.ok && !got.redirected) await kept.put(path, got); }))).catch(() => {});
  });
  else { told.push({ says: "This address is not secure: keep this page open, it can't be opened again without a signal." }); showBox(); }
})();
