"use strict";
/* Everything works without this: it keeps a tap where the kitchen does not answer, and sends it
   once, in order and with its own day, when it does. Location is asked for on a tap only. */
(() => {
  const screen = document.getElementById("screen");
  const box = document.getElementById("taps");
  const here = document.getElementById("here");
  if (here && navigator.geolocation && window.isSecureContext) {
    here.hidden = false;
    here.addEventListener("click", () => navigator.geolocation.getCurrentPosition(
      (found) => {
        const { latitude, longitude } = found.coords;
        document.getElementById("at").value = `${latitude.toFixed(2)}, ${longitude.toFixed(2)}`;
      },
      () => { here.textContent = "Not told by this browser"; },
    ));
  }
  for (const typed of document.querySelectorAll("[data-slider]")) {
    const twin = document.createElement("input");
    Object.assign(twin, { type: "range", min: -20, max: 120, step: 1, value: typed.value || 86 });
    twin.setAttribute("aria-label", document.querySelector(`label[for=${typed.id}]`).textContent);
    twin.addEventListener("input", () => { typed.value = twin.value; });
    typed.addEventListener("input", () => { twin.value = typed.value; });
    typed.after(twin);
  }
  /* A lesson's day is drawn anew while it is slid; what makes no day leaves the picture as it is. */
  const live = document.querySelector("form[data-live]");
  let wait;
  live?.addEventListener("input", () => {
    clearTimeout(wait);
    wait = setTimeout(async () => {
      const asked = new URLSearchParams(new FormData(live));
      const answer = await fetch(`${live.dataset.live}?${asked}`).catch(() => null);
      if (!answer?.ok) return;
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      document.getElementById("day").replaceChildren(...page.getElementById("day").childNodes);
    }, 120);
  });
  if (!box) return;
  const place = `taps of ${screen.dataset.book}`;
  const token = () => document.querySelector("input[name=token]").value;
  const kept = () => JSON.parse(localStorage.getItem(place) || "[]");
  const keep = (taps) => { localStorage.setItem(place, JSON.stringify(taps)); tell(); };
  const line = (text) => {
    const p = document.createElement("p");
    p.textContent = text;
    return p;
  };

  function tell() {
    const taps = kept();
    box.replaceChildren();
    box.hidden = taps.length === 0;
    const waiting = taps.filter((tap) => !tap.why);
    if (waiting.length) {
      box.append(line(`Waiting for the kitchen, kept on this device: ${waiting.length}.`));
      for (const tap of waiting) box.append(line(`${tap.said}, ${tap.seen}`));
    }
    for (const tap of taps.filter((each) => each.why)) {
      box.append(line(`Not placed: ${tap.said}, ${tap.seen}. ${tap.why}`));
      const forget = document.createElement("button");
      forget.type = "button";
      forget.textContent = "Forget it";
      forget.setAttribute("aria-label", `Forget it: ${tap.said}, ${tap.seen}`);
      forget.addEventListener("click", () => keep(kept().filter((each) => each.id !== tap.id)));
      box.append(forget);
    }
  }

  let sending = false;
  async function send() {
    if (sending) return;
    sending = true;
    try {
      for (let tap = kept().find((each) => !each.why); tap; tap = kept().find((each) => !each.why)) {
        const { id, organism, where, seen } = tap;
        const answer = await fetch("/tap", {
          method: "POST",
          body: new URLSearchParams({ id, organism, where, seen, token: token() }),
        });
        if (!answer.ok) break; /* the page was closed and opened anew: its next load sends */
        const { why, html } = await answer.json();
        const rest = kept();
        if (why) rest.find((each) => each.id === id).why = why;
        keep(why ? rest : rest.filter((each) => each.id !== id));
        const block = document.getElementById(tap.at);
        if (html && block) {
          block.querySelector(".notice")?.remove();
          block.querySelector(".acts").insertAdjacentHTML("beforebegin", html);
        }
      }
    } catch { /* out of reach: tried again */ } finally {
      sending = false;
    }
  }

  for (const form of document.querySelectorAll('form[action="/looked"]')) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      const said = new FormData(form);
      const id = [...crypto.getRandomValues(new Uint8Array(12))]
        .map((byte) => byte.toString(16).padStart(2, "0")).join("");
      keep([...kept(), {
        id, organism: said.get("organism"), where: said.get("where"), at: said.get("at"),
        seen: screen.dataset.day, said: form.querySelector("button").getAttribute("aria-label"),
      }]);
      send();
    });
  }
  window.addEventListener("online", send);
  setInterval(send, 15000);
  tell();
  send();
})();
