from django.http import HttpRequest, HttpResponse
from django.template import Context, Template
from django.test import RequestFactory
from django.urls import path
from django.utils import translation
from pytest_django import Settings

HERE = __name__


def room(request: HttpRequest) -> HttpResponse:
    return HttpResponse("A page that only has an address.")


urlpatterns = [path("", room, name="today"), path("students/", room, name="students")]


def shown(text: str, **context: object) -> str:
    return Template("{% load studio_tags %}" + text).render(Context(context))


def test_mark_is_passed_over_by_screen_readers_and_needs_no_style() -> None:
    html = shown('{% mark "scale" "small" %}')
    assert html.startswith("<svg")
    assert 'class="mark small"' in html
    assert 'aria-hidden="true"' in html
    assert "style=" not in html


def test_strings_are_four_from_thick_to_thin() -> None:
    html = shown("{% strings %}")
    heights = [float(part.split("H0z")[0]) for part in html.split("h100v")[1:]]
    assert len(heights) == 4
    assert heights == sorted(heights, reverse=True)


def test_link_to_a_page_that_is_not_there_yet_is_left_out() -> None:
    assert shown('{% nav_link "nowhere:at-all" "Nowhere" "nowhere" %}') == ""


class TestNavLink:
    def link(self, address: str, name: str, **context: object) -> str:
        request = RequestFactory().get(address)
        return shown(f'{{% nav_link "{name}" "Students" "students" %}}', request=request, **context)

    def test_this_very_page_is_current(self, settings: Settings) -> None:
        settings.ROOT_URLCONF = HERE
        assert 'aria-current="page"' in self.link("/students/", "students")

    def test_a_page_below_marks_its_room(self, settings: Settings) -> None:
        settings.ROOT_URLCONF = HERE
        assert 'aria-current="true"' in self.link("/students/7/", "students")

    def test_the_first_page_is_not_above_all_others(self, settings: Settings) -> None:
        settings.ROOT_URLCONF = HERE
        assert "aria-current" not in self.link("/students/", "today")

    def test_a_page_elsewhere_can_name_its_room(self, settings: Settings) -> None:
        settings.ROOT_URLCONF = HERE
        assert 'aria-current="true"' in self.link("/bench/7/", "students", section="students")


def test_week_bars_have_words_and_no_inline_style() -> None:
    html = shown(
        "{% week_bars plan done days True %}", plan=[25, None], done=[20, 0], days=["Thu", "Fri"]
    )
    assert 'role="img"' in html
    assert "Thu 20 of 25, Fri off." in html
    assert "style=" not in html
    assert 'class="rest"' in html


def test_week_bars_write_numbers_that_svg_reads_in_any_language() -> None:
    with translation.override("de"):
        html = shown("{% week_bars plan done days %}", plan=[7], done=[3], days=["Do"])
    assert "," not in html.split("</title>")[-1].split("aria-label=")[1].split(">", 1)[1]
