// Play along: the notes of an engraving, a metronome that accents each bar, a drone on the tonic
// and its fifth. Tones by Web Audio alone, so it works on plain http and from a file.
//
// <span class="sounding"><img data-sound="…json"><svg class="lit">…</span>, and somewhere
// <div class="playalong" data-plays="id of what holds them" data-a="440" data-lost="a sentence">.
// The notes come from the address in data-sound, or stand as JSON in data-notes.
"use strict";
(() => {
  // The classical metronome's marks: by 2 to 60, by 3 to 72, by 4 to 120, by 6 to 144, by 8.
  const MARKS = [];
  for (let bpm = 40; bpm <= 208; bpm += bpm < 60 ? 2 : bpm < 72 ? 3 : bpm < 120 ? 4 : bpm < 144 ? 6 : 8) MARKS.push(bpm);

  const EDGE = 0.012; // seconds a tone takes to begin and to end, so that it does not click
  const PARTIALS = [0, 1, 0.45, 0.3, 0.16, 0.1, 0.06]; // a plain bowed colour
  const DRONE_SILENCE = 0.05;

  function voice(ctx, out, hz, at, length, level) {
    const tone = ctx.createOscillator(), loud = ctx.createGain();
    tone.setPeriodicWave(ctx.createPeriodicWave(new Float32Array(PARTIALS.length), new Float32Array(PARTIALS)));
    tone.frequency.value = hz;
    const end = at + Math.max(length, 2 * EDGE);
    loud.gain.setValueAtTime(0, at);
    loud.gain.linearRampToValueAtTime(level, at + EDGE);
    loud.gain.setValueAtTime(level, end - EDGE);
    loud.gain.linearRampToValueAtTime(0, end);
    tone.connect(loud).connect(out);
    tone.start(at);
    tone.stop(end);
  }

  function click(ctx, out, at, accent) {
    const tone = ctx.createOscillator(), loud = ctx.createGain();
    tone.type = "square";
    tone.frequency.value = accent ? 1760 : 1175;
    loud.gain.setValueAtTime(accent ? 0.5 : 0.22, at);
    loud.gain.exponentialRampToValueAtTime(0.001, at + 0.045);
    tone.connect(loud).connect(out);
    tone.start(at);
    tone.stop(at + 0.05);
  }

  // Beats at which the metronome strikes: [beat, accented]. Each bar counts from its own start.
  function strikes(data) {
    const found = [];
    data.bars.forEach((from, n) => {
      const to = n + 1 < data.bars.length ? data.bars[n + 1] : data.beats;
      const pickup = n === 0 && data.bars.length > 1 && to - from < longestBar(data);
      for (let beat = from; beat < to - 0.001; beat += 1) found.push([beat, beat === from && !pickup]);
    });
    return found;
  }

  function longestBar(data) {
    const ends = [...data.bars.slice(1), data.beats];
    return Math.max(...data.bars.map((from, n) => ends[n] - from));
  }

  // A bar is counted before the first note; two beats where the music has no bars.
  function countIn(data) {
    return data.bars.length > 1 ? Math.min(6, Math.ceil(longestBar(data))) : 2;
  }

  // Writes everything into any audio context, from the time `at`. Returns when the music begins
  // and ends, in seconds of that context. `out` has a node for notes, metronome and drone.
  function schedule(ctx, data, bpm, at, out) {
    const beat = 60 / bpm, begin = at + countIn(data) * beat, end = begin + data.beats * beat;
    for (let n = 0; n < countIn(data); n += 1) click(ctx, out.metronome, at + n * beat, n === 0);
    for (const [when, accent] of strikes(data)) click(ctx, out.metronome, begin + when * beat, accent);
    for (const [, start, length, ...hz] of data.notes) {
      for (const each of hz) voice(ctx, out.notes, each, begin + start * beat, length * beat * 0.96, 0.3 / hz.length);
    }
    for (const each of data.drone) voice(ctx, out.drone, each, at, end - at - DRONE_SILENCE, 0.09);
    return { begin, end };
  }

  function outputs(ctx) {
    const out = {};
    for (const name of ["notes", "metronome", "drone"]) {
      out[name] = ctx.createGain();
      out[name].connect(ctx.destination);
    }
    return out;
  }

  function sounding(data, beat) {
    let found = null;
    for (const note of data.notes) if (note[1] <= beat && beat < note[1] + note[2]) found = note;
    return found;
  }

  // -- The controls ---------------------------------------------------------------------------
  let playing = null;

  const pictures = (control) =>
    Array.from(document.getElementById(control.dataset.plays)?.querySelectorAll("img[data-sound], img[data-notes]") ?? []);

  async function notesOf(picture, a) {
    if (picture.dataset.notes) return JSON.parse(picture.dataset.notes);
    const address = new URL(picture.dataset.sound, location.href);
    if (a && a !== "440") address.searchParams.set("a", a);
    const answer = await fetch(address);
    if (!answer.ok) throw new Error(`${answer.status}`);
    return answer.json();
  }

  const tempoOf = (control) => Number(control.querySelector("output").value);

  function say(control, words) {
    control.querySelector("[role=status]").textContent = words;
  }

  function face(control, on) {
    control.querySelector(".play").setAttribute("aria-pressed", String(on));
  }

  function levels() {
    for (const box of playing.control.querySelectorAll("[data-voice]")) {
      playing.out[box.dataset.voice].gain.value = box.checked ? 1 : 0;
    }
  }

  function light(picture, data, beat) {
    const spot = picture.parentElement.querySelector(".lit circle");
    if (!spot) return;
    const note = beat === null ? null : sounding(data, beat);
    const head = note && data.heads ? data.heads[note[0]] : null;
    spot.setAttribute("r", head ? "1.4%" : "0");
    if (head) {
      spot.setAttribute("cx", `${head[0] * 100}%`);
      spot.setAttribute("cy", `${head[1] * 100}%`);
    }
  }

  function stop() {
    if (!playing) return;
    const { control, ctx, timer, shown } = playing;
    clearInterval(timer);
    ctx.close();
    if (shown) light(shown, {}, null);
    face(control, false);
    playing = null;
  }

  async function play(control) {
    stop();
    const shown = pictures(control);
    const ctx = new AudioContext();
    const mine = { control, ctx, out: outputs(ctx), timer: 0, shown: null };
    playing = mine;
    face(control, true);
    levels();
    try {
      await ctx.resume();
      const all = await Promise.all(shown.map((picture) => notesOf(picture, control.dataset.a)));
      if (playing === mine) follow(mine, shown, all);
    } catch {
      if (playing === mine) stop();
      say(control, control.dataset.lost);
    }
  }

  // One picture after the other, round and round until it is stopped.
  function follow(mine, shown, all) {
    if (!all.length) return stop();
    say(mine.control, "");
    const bpm = tempoOf(mine.control);
    let turn = 0;
    let now = schedule(mine.ctx, all[0], bpm, mine.ctx.currentTime + 0.15, mine.out);
    mine.timer = setInterval(() => {
      const time = mine.ctx.currentTime;
      if (time >= now.end) {
        if (mine.shown) light(mine.shown, {}, null);
        turn = (turn + 1) % all.length;
        now = schedule(mine.ctx, all[turn], bpm, time + 0.1, mine.out);
      }
      mine.shown = shown[turn];
      light(shown[turn], all[turn], time < now.begin ? null : (time - now.begin) * bpm / 60);
    }, 40);
  }

  function setTempo(control, bpm) {
    control.querySelector("output").value = bpm;
    if (playing && playing.control === control) play(control);
  }

  function step(control, up) {
    const now = tempoOf(control);
    const next = up ? MARKS.find((mark) => mark > now) : MARKS.filter((mark) => mark < now).pop();
    if (next) setTempo(control, next);
  }

  // Caught before the page's own form hears of it: none of this is anything to save or send.
  addEventListener("click", (event) => {
    const control = event.target.closest?.(".playalong");
    if (!control) return;
    const button = event.target.closest("button");
    if (!button) return;
    event.stopPropagation();
    if (button.matches(".slower, .faster")) return step(control, button.matches(".faster"));
    if (playing && playing.control === control) stop();
    else play(control);
  }, true);

  for (const kind of ["input", "change"]) {
    addEventListener(kind, (event) => {
      const control = event.target.closest?.(".playalong");
      if (control) {
        event.stopPropagation();
        if (playing && playing.control === control) levels();
        return;
      }
      // A tempo chosen for these bars is the tempo they are played in.
      const peg = kind === "change" && event.target.matches?.("input[type=radio][data-item]");
      const own = peg && event.target.closest(".bars")?.querySelector(".playalong");
      if (own) setTempo(own, Number(event.target.value));
    }, true);
  }

  document.documentElement.classList.add("sounds");
  window.playalong = { MARKS, schedule, outputs, strikes, countIn };
})();
