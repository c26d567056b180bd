"use strict";
/* Everything works without this: it keeps answers where the kitchen does not reply, and sends them
   once, in order and with their own day, when it does. Location is asked for on a tap only. */
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
    const { from, to } = typed.dataset;
    Object.assign(twin, { type: "range", min: from, max: to, step: 1, value: typed.value || 86 });
    twin.setAttribute("aria-label", document.querySelector(`label[for=${typed.id}]`).textContent);
    twin.addEventListener("input", () => { typed.value = twin.value; });
    typed.addEventListener("input", () => { twin.value = typed.value; });
    typed.after(twin);
  }
  /* A day tried: worked anew while a slider moves; what makes no day leaves it as it is. */
  for (const form of document.querySelectorAll("[data-live]")) {
    let last = 0;
    form.addEventListener("input", async () => {
      const now = last += 1;
      await new Promise((wait) => setTimeout(wait, 150));
      if (now !== last) return;
      try {
        const at = form.dataset.workedAt ?? form.getAttribute("action");
        const answer = await fetch(`${at}?${new URLSearchParams(new FormData(form))}`);
        if (!answer.ok) return;
        const html = (await answer.text()).replace(/<style[\s\S]*?<\/style>/g, "");
        const page = new DOMParser().parseFromString(html, "text/html");
        const name = form.dataset.live;
        if (now === last) document.getElementById(name).replaceWith(page.getElementById(name));
      } catch { /* out of reach: the button says so */ }
    });
  }
  /* What takes minutes says so at once, and is not asked for twice. */
  for (const form of document.querySelectorAll("form[action='/fetch'], form[action='/fetch-again'], form[action='/stations']")) {
    form.addEventListener("submit", () => {
      const pressed = form.querySelector("button");
      pressed.textContent = "Asking the network …";
      setTimeout(() => { pressed.disabled = true; });
    });
  }
  window.addEventListener("pageshow", (event) => { if (event.persisted) window.location.reload(); });
  if (!box) return;

  const { book, day, token } = screen.dataset;
  const place = `taps of ${book}`;
  const kept = () => JSON.parse(localStorage.getItem(place) || "[]");
  const keep = (taps) => { localStorage.setItem(place, JSON.stringify(taps)); tell(); };
  const newName = () => [...crypto.getRandomValues(new Uint8Array(12))]
    .map((byte) => byte.toString(16).padStart(2, "0")).join("");
  const without = (id) => keep(kept().filter((each) => each.id !== id));

  function line(text) {
    const p = document.createElement("p");
    p.textContent = text;
    return p;
  }
  function button(words, of, pressed) {
    const made = document.createElement("button");
    made.type = "button";
    made.textContent = words;
    made.setAttribute("aria-label", `${words}: ${of}`);
    made.addEventListener("click", pressed);
    return made;
  }

  function tell() {
    const taps = kept();
    box.replaceChildren();
    box.hidden = taps.length === 0;
    const waiting = taps.filter((tap) => !tap.why).length;
    if (waiting) box.append(line(`Waiting for the kitchen, kept on this device: ${waiting}.`));
    for (const tap of taps) {
      const of = `${tap.said}, ${tap.day}`;
      const acts = document.createElement("div");
      acts.className = "acts";
      if (tap.why) {
        const words = tap.mayBe ? "It is so: log it" : "Send it again";
        acts.append(button(words, of, () => again(tap)));
      }
      acts.append(button("Forget it", of, () => without(tap.id)));
      box.append(line(tap.why ? `Not placed: ${of}. ${tap.why}` : of), acts);
    }
  }
  function again(tap) {
    const fields = tap.mayBe ? [...tap.fields, ["certain", "yes"]] : tap.fields;
    const sure = { ...tap, id: newName(), why: "", fields };
    keep(kept().map((each) => (each.id === tap.id ? sure : each)));
    send();
  }

  let sending = false;
  async function send() {
    if (sending) return;
    sending = true;
    try {
      for (let tap = kept().find((each) => !each.why); tap; tap = kept().find((each) => !each.why)) {
        const { id, fields } = tap;
        const body = new URLSearchParams([...fields, ["id", id], ["token", token]]);
        const answer = await fetch("/tap", { method: "POST", body });
        if (answer.status === 403) { /* started anew, say: once let in again, the next load sends */
          box.append(line(await answer.text()));
          break;
        }
        const { why, may_be: mayBe, html } = answer.ok
          ? await answer.json() : { why: "The kitchen could not read it." };
        if (why) keep(kept().map((each) => (each.id === id ? { ...each, why, mayBe } : each)));
        else without(id);
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

  async function replies() {
    try {
      return (await fetch("/page.js", { method: "HEAD", signal: AbortSignal.timeout(3000) })).ok;
    } catch {
      return false;
    }
  }

  /* What a form says, with the day of this screen where it names none. */
  function tapOf(form, said, at) {
    const fields = [...new FormData(form)].filter(([name]) => name !== "token");
    const dated = form.getAttribute("action") === "/did" ? "done" : "seen";
    const on = fields.find(([name]) => name === dated);
    if (!on) fields.push([dated, day]);
    return { id: newName(), fields, said, at, day: on ? on[1] : day };
  }
  function take(form) {
    const block = form.closest(".pest, .chore");
    keep([...kept(), tapOf(form, form.querySelector("button").getAttribute("aria-label"), block.id)]);
    send();
  }
  const taken = ".pest form[action='/looked'], .chore form[action='/did']";
  for (const form of document.querySelectorAll(taken)) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      take(form);
    });
  }

  /* A find out of reach: its form as it was when this screen was loaded. */
  function keepFind(form) {
    const title = form.dataset.of;
    const stage = form.elements.event.selectedOptions[0].textContent;
    const said = [title, stage, form.elements.where.value].filter(Boolean).join(", ");
    keep([...kept(), tapOf(form, said, form.elements.at.value)]);
    send();
  }
  const links = [...document.querySelectorAll(".pest a[href^='/saw?']")];
  const forms = new Map();
  function openFind(link) {
    for (const other of document.querySelectorAll(".pest > form")) other.remove();
    const form = document.importNode(forms.get(link.href), true);
    const shut = (event) => {
      event.preventDefault();
      form.remove();
      link.focus();
    };
    form.addEventListener("submit", (event) => { keepFind(form); shut(event); });
    form.querySelector(".why").addEventListener("click", shut);
    link.closest(".pest").append(form);
    form.elements.event.focus();
  }
  for (const link of links) {
    link.addEventListener("click", async (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      if (!forms.has(link.href) || await replies()) window.location.assign(link.href);
      else openFind(link);
    });
  }
  (async () => {
    for (const { href } of links) {
      try {
        const answer = await fetch(href);
        /* Its style sheet has a nonce of its own, which this screen's policy would refuse. */
        const html = (await answer.text()).replace(/<style[\s\S]*?<\/style>/g, "");
        const page = new DOMParser().parseFromString(html, "text/html");
        if (answer.ok) forms.set(href, page.querySelector("form[action='/saw']"));
      } catch { return; /* out of reach already */ }
    }
  })();

  /* A find whose form was opened in reach and is sent out of it. */
  for (const form of document.querySelectorAll("#screen > form[action='/saw']")) {
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      if (await replies()) {
        form.submit();
      } else {
        keepFind(form);
        box.append(line("Today, or this screen while it stays open, sends it."));
        box.scrollIntoView();
        form.remove();
      }
    });
  }

  window.addEventListener("online", send);
  setInterval(send, 15000);
  tell();
  send();
})();
