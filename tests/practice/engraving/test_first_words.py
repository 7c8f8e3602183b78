"""Words as outlines, drawn by several threads from files that no thread has read yet."""

import threading
from concurrent.futures import ThreadPoolExecutor

from practice.engraving import letters

WORDS = ["G string", "Ševčík", "détaché", "à la corde", "123", "Ёлка", "Bảo Châu", "rit."]


def cold() -> None:
    for weight in (400, 700):
        for glyphs, *_ in letters._face(weight).fonts:
            glyphs.font.close()
    letters._face.cache_clear()
    letters.outline.cache_clear()


def test_threads_that_draw_their_first_words_at_once_draw_the_same_as_one_alone() -> None:
    cold()
    alone = [letters.outline(word, 100) for word in WORDS]
    for _ in range(5):
        cold()
        start = threading.Barrier(len(WORDS))

        def draw(word: str, start: threading.Barrier = start) -> tuple[str, float]:
            start.wait()
            return letters.outline(word, 100)

        with ThreadPoolExecutor(len(WORDS)) as threads:
            assert list(threads.map(draw, WORDS)) == alone
