import re

from practice.engraving.letters import outline


def test_a_finger_is_drawn_upward_from_the_line() -> None:
    path, width = outline("4", 400, bold=True)
    ys = [float(y) for _, y in re.findall(r"(-?\d+) (-?\d+)", path)]
    assert path.startswith("M")
    assert min(ys) < -200
    assert 150 < width < 350


def test_letters_follow_one_another() -> None:
    assert outline("GG", 400)[1] == 2 * outline("G", 400)[1]
    assert outline("G", 800)[1] == 2 * outline("G", 400)[1]


def test_names_from_other_languages_are_drawn() -> None:
    for text in ("Łucja", "Bảo", "Đức", "Şebnem", "Дарья"):
        plain = outline("a" * len(text), 400)[0]
        assert outline(text, 400)[0] not in ("", plain)


def test_a_letter_no_file_has_leaves_a_space() -> None:
    assert outline("\ue0a4", 400) == ("", 200.0)
