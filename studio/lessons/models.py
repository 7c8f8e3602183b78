"""Weekly lesson times, and the dated lessons that come out of them."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from django.db import models
from django.db.models import F, Q

from studio.people.models import one_line

if TYPE_CHECKING:
    from studio.access.models import Studio
    from studio.people.models import Student


class Slot(models.Model):
    """A standing lesson time. Two students on one slot are siblings who share the lesson."""

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="slots")
    students = models.ManyToManyField("studio.Student", related_name="slots")
    weekday = models.PositiveSmallIntegerField(help_text="Monday is 0.")
    every_weeks = models.PositiveSmallIntegerField(default=1)
    starts = models.TimeField()
    minutes = models.PositiveSmallIntegerField(default=30)
    place = models.CharField(max_length=80, blank=True, validators=[one_line])
    link = models.URLField(blank=True)
    first_day = models.DateField()
    last_day = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["weekday", "starts"]
        constraints = [
            models.CheckConstraint(condition=Q(weekday__lte=6), name="slot_weekday"),
            models.CheckConstraint(
                condition=Q(minutes__gte=10, minutes__lte=240), name="slot_minutes"
            ),
            models.CheckConstraint(
                condition=Q(every_weeks__gte=1, every_weeks__lte=4), name="slot_every_weeks"
            ),
            models.CheckConstraint(
                condition=Q(last_day__isnull=True) | Q(last_day__gte=F("first_day")),
                name="slot_ends_after_start",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_weekday_name()} {self.starts:%H:%M}"

    def get_weekday_name(self) -> str:
        return f"{dt.date(2024, 1, 1 + self.weekday):%A}"  # 1 January 2024 was a Monday


class LessonQuerySet(models.QuerySet["Lesson"]):
    def of(self, studio: Studio) -> LessonQuerySet:
        return self.filter(student__family__studio=studio)

    def standing(self) -> LessonQuerySet:
        """Lessons that take place or took place, so they hold their time."""
        return self.filter(status__in=[Lesson.Status.PLANNED, Lesson.Status.KEPT])

    def next_for(self, student: Student, after: dt.date) -> Lesson | None:
        """The first planned lesson later than the day."""
        coming = self.filter(student=student, date__gt=after, status=Lesson.Status.PLANNED)
        return coming.order_by("date", "starts").first()


class Lesson(models.Model):
    """One student's lesson on one day: local date and wall time, instants are derived."""

    class Status(models.TextChoices):
        PLANNED = "planned", "planned"
        KEPT = "kept", "kept"
        CANCELLED_BY_FAMILY = "cancelled-family", "cancelled by the family"
        CANCELLED_BY_TEACHER = "cancelled-teacher", "cancelled by the teacher"
        MISSED = "missed", "missed"

    student = models.ForeignKey("studio.Student", on_delete=models.CASCADE, related_name="lessons")
    slot = models.ForeignKey(
        Slot, on_delete=models.SET_NULL, null=True, blank=True, related_name="lessons"
    )
    date = models.DateField()
    starts = models.TimeField()
    minutes = models.PositiveSmallIntegerField(default=30)
    place = models.CharField(max_length=80, blank=True, validators=[one_line])
    link = models.URLField(blank=True)
    status = models.CharField(max_length=17, choices=Status.choices, default=Status.PLANNED)
    makes_up = models.OneToOneField(
        "self", on_delete=models.SET_NULL, null=True, blank=True, related_name="made_up_by"
    )
    with_notice = models.BooleanField(
        null=True, help_text="Cancelled within the teacher's own hours of notice?"
    )
    moved_by_hand = models.BooleanField(default=False)
    # The identity a calendar program sees (RFC 5545 UID and SEQUENCE).
    uid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    sequence = models.PositiveIntegerField(default=0)
    changed = models.DateTimeField(auto_now=True)

    objects = LessonQuerySet.as_manager()

    class Meta:
        ordering = ["date", "starts", "pk"]
        indexes = [models.Index(fields=["date", "starts"], name="lesson_by_date")]
        constraints = [
            models.CheckConstraint(
                condition=Q(minutes__gte=10, minutes__lte=240), name="lesson_minutes"
            ),
            models.UniqueConstraint(
                fields=["student", "date", "starts"],
                condition=Q(status__in=["planned", "kept"]),
                name="lesson_student_once_at_a_time",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.student} {self.date} {self.starts:%H:%M}"

    def begins(self, zone: ZoneInfo) -> dt.datetime:
        """The aware instant at which the lesson starts."""
        return dt.datetime.combine(self.date, self.starts, tzinfo=zone)
