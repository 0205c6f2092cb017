// Scanning sessions: readings are sent one after the other, and again until the desk has taken them. They wait in the
// browser's own store, so that a page that is closed or loaded anew loses none.

/** How long is waited until the desk is tried again, and until an answer is given up. */
const AGAIN = 2000, PATIENCE = 15000;
/** A store of readings that nobody came back to is forgotten after so long. */
const FORGOTTEN = 3 * 24 * 3600 * 1000;
const PHOTO_LOST = "<div class=\"refused\"><p>The desk was started anew, and what it had read in pictures is lost. Take them again.</p></div>";
const SCANS = "stowmark-scans-", SOUNDS = "stowmark-sounds";

/** The browser's store, or memory where it has none or takes no more. */
const memory = {};
const store = {
  get(key) {
    if (key in memory) return memory[key];
    try { return JSON.parse(localStorage.getItem(key)); } catch { return null; }
  },
  set(key, value) {
    try { localStorage.setItem(key, JSON.stringify(value)); delete memory[key]; } catch { memory[key] = value; }
  },
  remove(key) { delete memory[key]; try { localStorage.removeItem(key); } catch { /* there is none */ } },
  keys() { try { return Object.keys(localStorage); } catch { return Object.keys(memory); } },
};

/** A number that no other scan has; the page may come by plain http, where randomUUID is missing. */
function scanNumber() {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

let audio;
/** Two rising tones for good, a low buzz for bad. */
function play(sound) {
  if (sound === "none" || store.get(SOUNDS) === false) return;
  const Context = window.AudioContext || window.webkitAudioContext;
  if (!Context) return;
  try {
    audio = audio || new Context();
    if (audio.state === "suspended") audio.resume();
    const tones = sound === "good" ? [["sine", 880, 0, 0.09], ["sine", 1320, 0.09, 0.12]] : [["square", 140, 0, 0.4]];
    for (const [shape, frequency, begin, length] of tones) {
      const tone = audio.createOscillator(), loudness = audio.createGain(), at = audio.currentTime + begin;
      tone.type = shape;
      tone.frequency.value = frequency;
      loudness.gain.setValueAtTime(0.18, at);
      loudness.gain.exponentialRampToValueAtTime(0.001, at + length);
      tone.connect(loudness).connect(audio.destination);
      tone.start(at);
      tone.stop(at + length);
    }
  } catch { /* without sound then */ }
}

/** The switch of the sounds; this browser remembers it. */
function soundSwitch(label) {
  const box = one("input", label);
  label.hidden = false;
  box.checked = store.get(SOUNDS) !== false;
  box.addEventListener("change", () => { store.set(SOUNDS, box.checked); if (box.checked) play("good"); });
}

/** The readings of a session: those that wait, and those that a count has taken. */
class Readings {
  constructor(form) {
    this.key = SCANS + form.dataset.scan + "-" + form.elements.session.value;
  }
  read() { return store.get(this.key) || { waiting: [], taken: [] }; }
  write(all, bin) { store.set(this.key, { ...all, bin, at: Date.now() }); }
}

/** A field that is scanned into: each reading gets a number, waits in its turn, and is sent until it is answered. */
function scanning(form) {
  const field = form.elements.text, area = form.dataset.scan, readings = new Readings(form);
  const line = one("[data-waits]");
  let busy = false, timer;

  const said = (html) => put(one("#said"), html);
  const bin = () => form.elements.bin.value;

  function show(offline) {
    const { waiting } = readings.read();
    const scans = waiting.length === 1 ? "1 scan waits" : `${waiting.length} scans wait`;
    const text = offline && waiting.length ? `No connection: ${scans}. It is tried again by itself.` : waiting.length > 1 ? `${scans} …` : "";
    if (line.textContent !== text) line.textContent = text;
    line.classList.toggle("offline", Boolean(text && offline));
    all("[data-when-sent] button, [data-photo-input]").forEach((one) => { one.disabled = waiting.length > 0; });
  }

  function later() {
    show(true);
    clearTimeout(timer);
    timer = setTimeout(send, AGAIN);
  }

  /** What a count has taken goes out again where the desk does not know it any more. */
  function sendAllAgain() {
    const known = readings.read(), scans = known.taken.filter((scan) => scan.text);
    if (scans.length < known.taken.length) said(PHOTO_LOST);
    readings.write({ waiting: [...scans, ...known.waiting], taken: [] }, bin());
    form.elements.begun.value = 0;
  }

  function answered(scan, html, headers) {
    const parts = new DOMParser().parseFromString(html, "text/html");
    for (const from of all("[data-into]", parts)) put(one("#" + from.dataset.into), from.innerHTML);
    const state = one("[data-into=state]", parts);
    const before = bin();
    if (state) {
      form.elements.bin.value = state.dataset.bin;
      form.elements.begun.value = state.dataset.readings;
    }
    taken(scan);
    if (bin() !== before) history.replaceState(null, "", address(form.elements.session.value));
    play(headers.get("X-Sound") || "none");
  }

  /** The page's address names its session and bin, so that a page that is loaded anew goes on. */
  function address(session) {
    const query = new URLSearchParams({ session });
    if (bin()) query.set("bin", bin());
    return form.action.replace(/\/scan$/, area === "regroup" ? "/go" : "") + "?" + query;
  }

  function taken(scan) {
    const now = readings.read();
    const waiting = now.waiting.filter((one) => one.scan !== scan.scan);
    readings.write({ waiting, taken: area === "count" ? [...now.taken, scan] : [] }, bin());
  }

  function refused(scan, html) {
    said(refusalIn(html));
    play("bad");
    const now = readings.read();
    readings.write({ ...now, waiting: now.waiting.filter((one) => one.scan !== scan.scan) }, bin());
  }

  async function send() {
    if (busy) return;
    const [scan] = readings.read().waiting;
    if (!scan) { show(false); return; }
    busy = true;
    show(false);
    const patience = new AbortController(), watch = setTimeout(() => patience.abort(), PATIENCE);
    let again = true;
    try {
      const { session, begun } = form.elements;
      const body = new URLSearchParams({ session: session.value, scan: scan.scan, text: scan.text, bin: bin(), begun: begun.value });
      const { answer, text, ok } = await part(form.action, { method: "POST", body, signal: patience.signal });
      if (ok) answered(scan, text, answer.headers);
      else if (answer.headers.get("X-Lost")) sendAllAgain();
      else if (answer.status >= 500 || [401, 403, 408, 421, 429].includes(answer.status)) { said(refusalIn(text)); again = false; }
      else refused(scan, text);
    } catch {
      again = false;
    }
    clearTimeout(watch);
    busy = false;
    if (again) send(); else later();
  }

  form.enter = (text) => {
    if (!text.trim()) return;
    const now = readings.read();
    now.waiting.push({ scan: scanNumber(), text });
    readings.write(now, bin());
    clearTimeout(timer);
    send();
  };
  form.photo = async (picture) => {
    const { session, begun } = form.elements, body = new FormData(picture), scan = { scan: scanNumber() };
    for (const [name, value] of [["session", session.value], ["scan", scan.scan], ["bin", bin()], ["begun", begun.value]]) body.set(name, value);
    try {
      const { answer, text, ok } = await part(picture.action, { method: "POST", body });
      if (ok) answered(scan, text, answer.headers);
      else if (answer.headers.get("X-Lost")) { sendAllAgain(); send(); said(PHOTO_LOST); }
      else refused(scan, text);
    } catch {
      said("<div class=\"refused\"><p>No connection, so the picture was not read. Choose it again.</p></div>");
      play("bad");
    }
  };
  const read = () => { const text = field.value; field.value = ""; field.focus(); form.enter(text); };
  form.addEventListener("submit", (event) => { event.preventDefault(); read(); });
  field.addEventListener("keydown", (event) => {
    if (event.key === "Tab" && !event.shiftKey && field.value.trim()) { event.preventDefault(); read(); }
  });
  window.addEventListener("online", send);

  leaveOld(area, readings.key, address);
  if (area === "count" && Number(form.elements.begun.value) < readings.read().taken.length) sendAllAgain();
  send();
}

/** Readings of an earlier session of this page that were never sent: it goes on with that one first. */
function leaveOld(area, own, address) {
  for (const key of store.keys().filter((key) => key.startsWith(SCANS))) {
    const old = store.get(key), isCount = key.startsWith(SCANS + "count-");
    if (key === own) continue;
    // What a count has taken is kept as long as it may go on.
    if (!old || Date.now() - old.at > FORGOTTEN || !old.waiting.length && !isCount) { store.remove(key); continue; }
    if (!key.startsWith(SCANS + area + "-") || !old.waiting.length) continue;
    one("form[data-scan]").elements.bin.value = old.bin || "";
    location.replace(address(key.slice((SCANS + area + "-").length)));
    return;
  }
}

/** A photograph in place of readings: it is sent as soon as it is there. */
function picturing(form) {
  const input = one("[data-photo-input]", form), busy = one(".busy", form);
  input.addEventListener("change", async () => {
    const reader = one("form[data-scan]");
    if (!input.files.length || !reader || !reader.photo) return;
    busy.hidden = false;
    await reader.photo(form);
    busy.hidden = true;
    input.value = "";
    reader.elements.text.focus({ preventScroll: true });
  });
}

/** A button in place of a reading. */
function entering(form) {
  form.addEventListener("submit", (event) => {
    const reader = one("form[data-scan]");
    if (!reader || !reader.enter) return;
    event.preventDefault();
    reader.enter(form.elements.text.value);
    reader.elements.text.focus({ preventScroll: true });
  });
}

HABITS.unshift(
  ["form[data-scan]", scanning],
  ["form[data-enter]", entering],
  ["form[data-photo]", picturing],
  ["[data-sounds]", soundSwitch],
  ["[data-ended]", (ended) => store.remove(SCANS + "count-" + ended.dataset.ended)],
);
