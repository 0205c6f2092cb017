// The desk's own script. Every page works without it, but for scanning sessions' sounds and their queue.
"use strict";

/** The first element that a selector finds, within a part of the page. */
const one = (selector, within = document) => within.querySelector(selector);
const all = (selector, within = document) => [...within.querySelectorAll(selector)];

/** Asks for a part of a page. Gives the answer and its text; what was refused comes as a text for people. */
async function part(url, options = {}) {
  const answer = await fetch(url, { ...options, headers: { "X-Part": "1", ...(options.headers || {}) } });
  const text = await answer.text();
  return { answer, text, ok: answer.ok };
}

/**
 * Puts a part into the page, and wakes what is in it. What had the focus there has it again, if it has a name, and what
 * was moved sideways stays so.
 */
function put(target, html) {
  const had = target.contains(document.activeElement) ? document.activeElement.id : "";
  const left = all(".sideways", target).map((box) => box.scrollLeft);
  target.innerHTML = html;
  all(".sideways", target).forEach((box, at) => { box.scrollLeft = left[at] || 0; });
  wake(target);
  const again = had && document.getElementById(had);
  if (again) again.focus({ preventScroll: true });
}

/** The box of a refusal out of a whole page, or what there is. */
function refusalIn(html) {
  const box = one("[data-refusal]", new DOMParser().parseFromString(html, "text/html"));
  return box ? box.outerHTML : "<div class=\"refused\"><p>The desk did not answer as it should. Try again.</p></div>";
}

/** Forms whose answer comes while one types: data-search names the element that it goes into. */
function searching(form) {
  const target = one(form.dataset.search);
  let timer, asked = 0, shown, older = new AbortController();
  const ask = async () => {
    const mine = ++asked;
    // The desk leaves off what nobody waits for any more.
    older.abort();
    older = new AbortController();
    const query = new URLSearchParams(new FormData(form)).toString();
    const url = form.getAttribute("action") + "?" + query;
    try {
      const { text, ok } = await part(url, { signal: older.signal });
      if (mine !== asked) return;
      // The same answer again leaves what has the focus in it alone.
      if (text !== shown) put(target, ok ? text : refusalIn(text));
      shown = text;
      target.removeAttribute("aria-busy");
      if (form.dataset.keep !== "no") history.replaceState(null, "", url);
    } catch {
      shown = undefined;
      if (mine === asked) put(target, "<div class=\"refused\" role=\"alert\"><p>No connection to the desk. Is the program still running?</p></div>");
    }
  };
  const soon = (wait) => { clearTimeout(timer); target.setAttribute("aria-busy", "true"); timer = setTimeout(ask, wait); };
  form.addEventListener("input", () => soon(120));
  form.addEventListener("change", () => soon(0));
  form.addEventListener("submit", (event) => {
    if (event.submitter && event.submitter.hasAttribute("formaction")) return;
    event.preventDefault();
    clearTimeout(timer);
    ask();
    // The next scan replaces what stands there.
    all("[data-once]", form).forEach((field) => field.select());
  });
}

/** The field that has the focus whenever nothing else needs it, so that a reader's typing lands there. */
function keepFocus(field) {
  const back = () => {
    if (document.activeElement === document.body || document.activeElement === one("main")) field.focus({ preventScroll: true });
  };
  document.addEventListener("click", () => setTimeout(back, 0));
  window.addEventListener("focus", back);
  document.addEventListener("keydown", (event) => {
    const typed = event.key.length === 1 && !event.ctrlKey && !event.metaKey && !event.altKey;
    if (typed && document.activeElement === document.body) field.focus();
  });
}

/** Parts that are asked for again and again, as how far a work is. */
function polling(box) {
  const again = async () => {
    if (!box.isConnected) return;
    try {
      const { answer, text, ok } = await part(box.dataset.poll);
      const go = answer.headers.get("X-Go");
      if (go) { location.replace(go); return; }
      if (ok) put(box, text);
      // A desk that was started anew does not know the work, nor will it.
      else if ([401, 404].includes(answer.status)) { put(box, refusalIn(text)); return; }
    } catch { /* the desk is away: asked again */ }
    setTimeout(again, 400);
  };
  setTimeout(again, 150);
}

/** A place to drop a file or paste text: data-drop names the file input; a textarea within takes pasted text. */
function dropping(zone) {
  const input = one(zone.dataset.drop, zone) || one(zone.dataset.drop);
  zone.addEventListener("dragover", (event) => { event.preventDefault(); zone.classList.add("over"); });
  zone.addEventListener("dragleave", () => zone.classList.remove("over"));
  zone.addEventListener("drop", (event) => {
    event.preventDefault();
    zone.classList.remove("over");
    if (!event.dataTransfer.files.length) return;
    input.files = event.dataTransfer.files;
    input.form.requestSubmit();
  });
}

/** Inputs of files whose form is sent as soon as one is chosen. */
function sendsAtOnce(input) {
  input.addEventListener("change", () => {
    if (!input.files.length) return;
    all("[data-busy]", input.form).forEach((busy) => { busy.hidden = false; });
    input.form.requestSubmit();
  });
}

/** A button sends its form once. */
function once(form) {
  form.addEventListener("submit", (event) => {
    if (event.defaultPrevented) return;
    const buttons = all("button", form);
    setTimeout(() => buttons.forEach((button) => { button.disabled = true; }), 0);
    setTimeout(() => buttons.forEach((button) => { button.disabled = false; }), 4000);
  });
}

const HABITS = [
  ["form[data-search]", searching],
  ["[data-focus]", keepFocus],
  // What stands there already is replaced by the next scan.
  ["[data-once][autofocus]", (field) => field.select()],
  ["[data-poll]", polling],
  ["[data-drop]", dropping],
  ["input[type=file][data-send]", sendsAtOnce],
  ["form[method=post]", once],
  ["[data-back]", (link) => link.addEventListener("click", (event) => {
    if (history.length < 2) return;
    event.preventDefault();
    history.back();
  })],
];

/** Gives the elements of a part their habits, each once. */
function wake(within) {
  for (const [selector, habit] of HABITS) {
    for (const element of all(selector, within)) {
      element.awake = element.awake || new Set();
      if (element.awake.has(habit)) continue;
      element.awake.add(habit);
      habit(element);
    }
  }
}

/** What was refused stands in the browser's history as the page of its form, so that going back there sends nothing again. */
function standsAsItsForm() {
  const from = document.referrer;
  if (document.body.hasAttribute("data-sent") && one("[data-refusal]") && from.startsWith(location.origin + "/")) {
    history.replaceState(null, "", from);
  }
}

// A page that the browser kept has its buttons again.
window.addEventListener("pageshow", () => all("button[disabled]").forEach((button) => { button.disabled = false; }));
document.addEventListener("DOMContentLoaded", () => { standsAsItsForm(); wake(document); });
