"""Each address of the calendar: signed in, one's own, and by the right method only."""

import pytest
from django.test import Client
from django.urls import reverse

from studio.models import BusyTime, Family, Lesson, Slot, Student, Studio, Term
from tests.factories import ClosureFactory, LessonFactory, SlotFactory, TermFactory

DATE = [2026, 11, 25]
PLAIN = [
    *("calendar", "this-month", "make-ups", "rules", "zone", "lesson-add", "slots", "slot-add"),
    *("terms", "term-add", "closure-add", "holidays", "addresses", "studio-file", "busy"),
]
DATED = [("week", DATE), ("month", DATE[:2]), ("day", DATE)]
OF_A_LESSON = {
    "GET": ["lesson", "lesson-move", "lesson-make-up", "lesson-swap"],
    "POST": ["lesson-move", "lesson-make-up", "lesson-swap", "lesson-cancel", "lesson-keep",
             "lesson-miss", "lesson-plan-again", "lesson-let-go", "lesson-grant"],
}  # fmt: skip
OF_A_SLOT = {"GET": ["slot-change"], "POST": ["slot-change", "slot-end"]}
OF_A_TERM = {
    "GET": ["term-edit", "ledger", "wall-pdf", "families-pdf"],
    "POST": ["term-edit", "term-fill", "term-remove"],
}
OF_A_FAMILY = {
    "GET": ["family-address", "family-code", "family-file"],
    "POST": ["family-address-renew", "family-address-revoke"],
}
OF_BOTH = ["statement", "statement-pdf", "family-pdf"]
ONLY_POST = [
    *(("lessons:" + name, [1]) for name in OF_A_LESSON["POST"][3:]),
    *[("lessons:slot-end", [1]), ("lessons:term-fill", [1]), ("lessons:term-remove", [1])],
    *[("lessons:closure-remove", [1]), ("lessons:day-off", DATE)],
    *[("lessons:family-address-renew", [1]), ("lessons:family-address-revoke", [1])],
    *[("lessons:teacher-address-renew", []), ("lessons:teacher-address-revoke", [])],
    *[("lessons:busy-preview", []), ("lessons:busy-take", []), ("lessons:busy-forget", [])],
    *[("lessons:addresses-missing", []), ("lessons:absent-out", [])],
]


@pytest.fixture
def foreign(other_student: Student) -> dict[str, int]:
    """Keys of rows of another teacher's studio."""
    studio = other_student.family.studio
    return {
        "lesson": LessonFactory.create(student=other_student).pk,
        "slot": SlotFactory.create(studio=studio, students=[other_student]).pk,
        "term": TermFactory.create(studio=studio).pk,
        "closure": ClosureFactory.create(studio=studio).pk,
        "family": other_student.family.pk,
    }


def counts() -> list[int]:
    return [model.objects.count() for model in (Lesson, Slot, Term, Family, BusyTime)]


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("name", "arguments"), [*((name, []) for name in PLAIN), *DATED, ("lesson", [1])]
)
def test_a_visitor_is_sent_to_the_door(client: Client, name: str, arguments: list[int]) -> None:
    address = reverse(f"lessons:{name}", args=arguments)
    response = client.get(address)
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("access:sign_in"))


@pytest.mark.usefixtures("studio")
@pytest.mark.parametrize(("name", "arguments"), [*((name, []) for name in PLAIN), *DATED])
def test_the_teacher_may_open_it(signed_in: Client, name: str, arguments: list[int]) -> None:
    assert signed_in.get(reverse(f"lessons:{name}", args=arguments)).status_code == 200


@pytest.mark.parametrize(
    ("kind", "method", "name"),
    [
        (kind, method, name)
        for kind, names in [
            ("lesson", OF_A_LESSON),
            ("slot", OF_A_SLOT),
            ("term", OF_A_TERM),
            ("family", OF_A_FAMILY),
            ("closure", {"POST": ["closure-remove"]}),
        ]
        for method, list_ in names.items()
        for name in list_
    ],
)
def test_what_belongs_to_another_studio_is_not_there(
    signed_in: Client, foreign: dict[str, int], kind: str, method: str, name: str
) -> None:
    before = counts()
    address = reverse(f"lessons:{name}", args=[foreign[kind]])
    response = signed_in.get(address) if method == "GET" else signed_in.post(address, {})
    assert response.status_code == 404
    assert counts() == before


@pytest.mark.parametrize("name", OF_BOTH)
def test_a_term_and_a_family_must_both_be_ones_own(
    signed_in: Client, studio: Studio, family: Family, foreign: dict[str, int], name: str
) -> None:
    own_term = TermFactory.create(studio=studio).pk
    for pair in [(own_term, foreign["family"]), (foreign["term"], family.pk)]:
        assert signed_in.get(reverse(f"lessons:{name}", args=pair)).status_code == 404


@pytest.mark.usefixtures("studio")
@pytest.mark.parametrize(("name", "arguments"), ONLY_POST)
def test_what_changes_something_is_posted(
    signed_in: Client, name: str, arguments: list[int]
) -> None:
    assert signed_in.get(reverse(name, args=arguments)).status_code == 405


@pytest.mark.parametrize("student_of", ["other_student"])
def test_a_lesson_or_slot_is_not_made_for_another_studios_student(
    signed_in: Client, studio: Studio, student_of: str, request: pytest.FixtureRequest
) -> None:
    TermFactory.create(studio=studio)
    stranger = request.getfixturevalue(student_of)
    form = {"day": "2026-11-26", "starts": "10:00", "minutes": "30", "student": stranger.pk}
    assert signed_in.post(reverse("lessons:lesson-add"), form).status_code == 422
    slot = {"students": [stranger.pk], "weekday": "0", "starts": "10:00", "minutes": "30",
            "every_weeks": "1", "from_day": "2026-11-26"}  # fmt: skip
    assert signed_in.post(reverse("lessons:slot-add"), slot).status_code == 422
    assert counts()[:2] == [0, 0]


@pytest.mark.parametrize(
    "address",
    ["/calendar/week/2026/2/30/", "/calendar/month/2026/13/", "/calendar/day/0/1/1/",
     "/calendar/week/9999/12/31/", "/calendar/month/9999/12/", "/calendar/month/1/1/",
     "/calendar/day/9999/12/31/", "/calendar/day/1/1/1/", "/calendar/week/1/1/1/"],
)  # fmt: skip
@pytest.mark.usefixtures("studio")
def test_a_day_in_no_calendar_is_not_there(signed_in: Client, address: str) -> None:
    assert signed_in.get(address).status_code == 404
