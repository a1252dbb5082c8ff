// A scale at this computer's serial port: lines that came often enough in a row are sent to the bench, which reads them.
"use strict";
(() => {
  const plug = document.querySelector("[data-plug]");
  if (!plug || !navigator.serial) return;
  const says = document.getElementById("plug-says");
  const kept = [...plug.querySelectorAll("[data-kept]")];
  const value = (name) => plug.querySelector(`[data-kept=${name}]`).value;
  const AGAIN_MS = 1500;
  let run = 0, last = "", sent = "", sentAt = 0, isAsking = false, isAgain = false, isOpen = false;

  for (const one of kept) {
    const was = localStorage.getItem(`scale ${one.dataset.kept}`);
    if (was && [...one.options].some((option) => option.value === was)) one.value = was;
    one.addEventListener("change", () => localStorage.setItem(`scale ${one.dataset.kept}`, one.value));
  }

  async function hear(line) {
    if (!line.trim()) return;
    run = line === last ? run + 1 : 1;
    last = line;
    if (run < Number(value("sends")) || isAsking) return;
    const byKey = value("sends") === "1";
    if (!byKey && line === sent && !(isAgain && Date.now() - sentAt >= AGAIN_MS)) return;
    [sent, sentAt, isAsking] = [line, Date.now(), true];
    try {
      const got = await fetch("/bench/scale", { method: "POST", redirect: "error", body: new URLSearchParams({ scale: value("scale"), line }) });
      const answer = await got.json();
      isAgain = answer.again;
      says.textContent = got.ok || !answer.says ? "" : answer.says;
    } catch (trouble) {
      sent = "";
      says.textContent = "The shop's computer doesn't answer: weigh it again.";
    }
    isAsking = false;
  }

  async function read(port) {
    if (isOpen) return;
    isOpen = true;
    try {
      await port.open({ baudRate: Number(value("baud")) });
      plug.querySelector("summary").textContent = `Scale ${value("scale")} is read`;
      plug.querySelector("details").open = false;
      says.textContent = "";
      const letters = new TextDecoder("latin1");
      const reader = port.readable.getReader();
      let text = "";
      for (;;) {
        const { value: bytes, done } = await reader.read();
        if (done) break;
        const lines = (text + letters.decode(bytes)).split(/[\r\n]+/);
        text = lines.pop().slice(-200);
        lines.forEach(hear);
      }
    } catch (trouble) { /* a cable that is out, or a port that another page has: said below */ }
    isOpen = false;
    plug.querySelector("summary").textContent = "Scale by cable";
    says.textContent = "The scale is not read: look at its cable, or key what it shows.";
  }

  plug.addEventListener("submit", async (event) => {
    event.preventDefault();
    try { read(await navigator.serial.requestPort()); } catch (trouble) { says.textContent = "No port was chosen."; }
  });
  plug.hidden = false;
  // Once it was allowed it is read again by itself.
  navigator.serial.getPorts().then((ports) => { if (ports.length === 1) read(ports[0]); });
})();
