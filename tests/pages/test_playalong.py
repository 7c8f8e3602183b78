"""Play-along measured in a real browser: what sounds, how high, when, and what is lit."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from django.conf import settings
from playwright.sync_api import Page, expect
from pytest_django.live_server_helper import LiveServer

from practice.engraving.pictures import notes_for_the_ear
from practice.engraving.spec import Spec, parse_spec
from practice.models import Score
from practice.music.keys import parse_key
from practice.music.metronome import MARKS
from studio.models import Student
from tests.factories import PieceInHandFactory, ScaleInHandFactory, ScoreFactory

# Equal temperament, f = 440 * 2^((m - 69) / 12) as ISO 16 sets A; the table was computed
# outside this project and checked against music21. Hz at A = 440, 442 and 415.
PITCHES = {
    "G3": (195.9977, 196.8886, 184.8615),
    "A4": (440.0000, 442.0000, 415.0000),
    "F#5": (739.9888, 743.3524, 697.9440),
    "G#6": (1661.2188, 1668.7698, 1566.8314),
    "B7": (3951.0664, 3969.0258, 3726.5740),
}
# The loudest frequency between two bounds, by correlating with sines of finer and finer steps.
MEASURE = """
async ({data, bpm, at, voice, length}) => {
  const rate = 44100, ctx = new OfflineAudioContext(1, rate * length, rate);
  const out = playalong.outputs(ctx);
  for (const name of ["notes", "metronome", "drone"]) out[name].gain.value = voice === name ? 1 : 0;
  const when = playalong.schedule(ctx, data, bpm, 0, out);
  const wave = (await ctx.startRendering()).getChannelData(0);
  const power = (hz, from, count) => {
    let re = 0, im = 0;
    for (let i = 0; i < count; i++) {
      const w = 0.5 - 0.5 * Math.cos(2 * Math.PI * i / count);
      const x = wave[from + i] * w, t = 2 * Math.PI * hz * i / rate;
      re += x * Math.cos(t); im += x * Math.sin(t);
    }
    return re * re + im * im;
  };
  const found = at.map(([from, to, low, high]) => {
    const first = Math.round((when.begin + from) * rate), count = Math.round((to - from) * rate);
    let best = low, step = (high - low) / 200;
    for (let round = 0; round < 3; round++) {
      let top = -1, mid = best;
      const [a, b] = round ? [mid - step * 10, mid + step * 10] : [low, high];
      if (round) step /= 10;
      for (let hz = a; hz <= b; hz += step) {
        const p = power(hz, first, count);
        if (p > top) { top = p; best = hz; }
      }
    }
    return best;
  });
  const loud = [];
  for (let i = 0; i + 441 < wave.length; i += 441) {
    loud.push(Math.max(...wave.subarray(i, i + 441).map(Math.abs)));
  }
  return {found, loud, begin: when.begin, end: when.end};
}
"""


@pytest.fixture
def sound(page: Page, live_server: LiveServer) -> Page:
    """The program's script on a page of the program."""
    page.goto("/sign-in/")
    page.add_script_tag(url=f"{settings.STATIC_URL}js/playalong.js")
    return page


def measured(page: Page, data: Any, at: list[list[float]], **asked: Any) -> Any:
    return page.evaluate(
        MEASURE, {"data": data, "bpm": 60, "at": at, "voice": "notes", "length": 8, **asked}
    )


@pytest.mark.parametrize("name", PITCHES)
@pytest.mark.parametrize(("column", "a"), [(0, 440), (1, 442), (2, 415)])
def test_a_tone_sounds_as_high_as_the_table_says(
    sound: Page, name: str, column: int, a: int
) -> None:
    letters = {"G3": "G,", "A4": "A", "F#5": "^f", "G#6": "^g'", "B7": "b''"}
    spec = Spec("excerpt", abc=f"[M:4/4][L:1/4]{letters[name]}4")
    data = notes_for_the_ear(spec, a=float(a))
    hz = PITCHES[name][column]
    [heard] = measured(sound, data, [[0.2, 1.2, hz * 0.94, hz * 1.06]])["found"]
    assert heard == pytest.approx(hz, rel=2e-4)  # a third of a cent is 2e-4


def test_a_whole_scale_sounds_note_by_note(sound: Page) -> None:
    """G major from the table: G3 A3 B3 C4 at one note a second."""
    data = notes_for_the_ear(Spec("scale", parse_key("G major"), "major", 1))
    expected = (195.9977, 220.0000, 246.9417, 261.6256)
    at = [[n + 0.1, n + 0.85, hz * 0.95, hz * 1.05] for n, hz in enumerate(expected)]
    assert measured(sound, data, at)["found"] == pytest.approx(expected, rel=5e-4)


def test_the_drone_is_the_tonic_and_its_fifth(sound: Page) -> None:
    data = notes_for_the_ear(Spec("scale", parse_key("G major"), "major", 1))
    at = [[0.0, 1.5, 180.0, 210.0], [0.0, 1.5, 280.0, 310.0]]
    heard = measured(sound, data, at, voice="drone")["found"]
    assert heard == pytest.approx([195.9977, 293.6648], rel=5e-4)  # G3 and D4 of the table


def test_the_metronome_strikes_each_beat_and_accents_each_bar(sound: Page) -> None:
    data = notes_for_the_ear(Spec("excerpt", abc="[M:3/4][L:1/4]GAB|dcB"))
    result = measured(sound, data, [], bpm=120, voice="metronome", length=6)
    assert result["begin"] == pytest.approx(1.5)  # one bar of three is counted before
    assert result["end"] == pytest.approx(4.5)
    loud = result["loud"]  # the loudest of each 10 ms
    struck = [n for n in range(len(loud)) if loud[n] > 0.1 and (n == 0 or loud[n - 1] < 0.1)]
    assert [n / 100 for n in struck] == pytest.approx([n * 0.5 for n in range(9)], abs=0.011)
    accents = [max(loud[n : n + 2]) > 0.35 for n in struck]
    assert accents == [True, False, False] * 3


def test_a_pickup_is_counted_and_not_accented(sound: Page) -> None:
    data = {"bars": [0, 1, 4], "beats": 7, "notes": [], "drone": []}
    struck = sound.evaluate("data => playalong.strikes(data)", data)
    assert struck == [[0, False], *[[n, n in (1, 4)] for n in range(1, 7)]]


def test_the_pegs_are_the_metronomes_own(sound: Page) -> None:
    assert sound.evaluate("playalong.MARKS") == list(MARKS)


@pytest.fixture
def tapped(student: Student) -> Score:
    piece = PieceInHandFactory.create(student=student)
    return ScoreFactory.create(studio=student.family.studio, work=piece.work)


def test_the_sounding_note_is_lit_where_it_stands(teacher_page: Page, tapped: Score) -> None:
    page = teacher_page
    page.goto(f"/scores/{tapped.pk}/?bar=2&tempo=60")
    address = page.locator("#music img").get_attribute("data-sound")
    assert address is not None
    data = json.loads(page.request.get(address).text())
    page.get_by_label("metronome").uncheck()
    page.get_by_role("button", name="Play along").click()
    lit = page.locator(".lit circle")
    expect(lit).to_have_attribute("r", "1.4%", timeout=8000)
    x, y = data["heads"][data["notes"][0][0]]
    assert lit.get_attribute("cx") == pytest.approx(f"{x * 100}%")
    head = page.locator("#music img").bounding_box()
    spot = lit.bounding_box()
    assert head is not None
    assert spot is not None
    assert abs(spot["x"] + spot["width"] / 2 - head["x"] - head["width"] * x) < 2
    assert abs(spot["y"] + spot["height"] / 2 - head["y"] - head["height"] * y) < 2
    page.get_by_role("button", name="Stop").click()
    expect(lit).to_have_attribute("r", "0")


def test_the_tempo_moves_by_pegs(teacher_page: Page, tapped: Score) -> None:
    teacher_page.goto(f"/scores/{tapped.pk}/?bar=2&tempo=70")
    tempo = teacher_page.locator(".playalong output")
    teacher_page.get_by_role("button", name="Faster").click()
    expect(tempo).to_have_text("72")
    teacher_page.get_by_role("button", name="Slower").click()
    expect(tempo).to_have_text("69")


def test_the_bench_plays_the_chosen_bowing_at_the_studios_a(
    teacher_page: Page, student: Student
) -> None:
    studio = student.family.studio
    studio.a4_hz = 443
    studio.save()
    ScaleInHandFactory.create(student=student, bowing_1="slur2", tempo_now=88, tempo_goal=100)
    teacher_page.goto(f"/students/{student.pk}/bench/")
    expect(teacher_page.locator(".playalong output")).to_have_text("88")
    with teacher_page.expect_response(re.compile("/sounding/")) as asked:
        teacher_page.get_by_role("button", name="Play along").click()
    assert asked.value.json()["a"] == 443
    assert asked.value.status == 200
    teacher_page.get_by_role("button", name="Stop").click()


def test_every_sound_address_is_read_like_its_picture() -> None:
    path = "bowing/B-flat-major/major/2/2-4_(8_8)_8_8"
    assert notes_for_the_ear(parse_spec(path, {"bars": "3"}))["notes"]
