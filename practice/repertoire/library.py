"""What the studio can choose from: works, bowings of its own, ideas to explore."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from practice.repertoire.catalogue_words import told, told_technique
from studio.people.models import one_line

if TYPE_CHECKING:
    from studio.access.models import Studio

TOO_LITTLE = _("%(show_value)s is too little; at least %(limit_value)s.")
TOO_MUCH = _("%(show_value)s is too much; at most %(limit_value)s.")
SLOWEST, FASTEST = 20, 300
tempo_limits = [MinValueValidator(SLOWEST, TOO_LITTLE), MaxValueValidator(FASTEST, TOO_MUCH)]


def surname(composer: str) -> str:
    """ "Beethoven" of "Ludwig van Beethoven", "Vitali" of "Tomaso Antonio Vitali (attr.)"."""
    words = [word for word in composer.split() if not word.startswith("(")]
    return words[-1] if words else ""


class WorkQuerySet(models.QuerySet["Work"]):
    def open_to(self, studio: Studio) -> WorkQuerySet:
        """The shared catalogue and the studio's own works."""
        return self.filter(Q(studio__isnull=True) | Q(studio=studio))

    def etudes(self) -> WorkQuerySet:
        return self.filter(kind=Work.Kind.ETUDE)

    def pieces(self) -> WorkQuerySet:
        return self.exclude(kind=Work.Kind.ETUDE)


class Work(models.Model):
    """A composition a student can be given. Without a studio it is the shared catalogue's."""

    class Kind(models.TextChoices):
        ETUDE = "etude", _("etude")
        # no words: kept in the database
        FOLK_SONG = "folk song", _("folk song")
        PIECE = "piece", _("piece")
        SONATA = "sonata", _("sonata")
        # no words: kept in the database
        CONCERTO = "concerto movement", _("concerto movement")
        METHOD = "method", _("method-book exercise")

    class Sure(models.TextChoices):
        CHECKED = "checked", _("checked against a source")
        PART = "part", _("partly checked")
        MEMORY = "memory", _("from memory, please check")
        OWN = "own", _("the teacher's own")

    studio = models.ForeignKey(
        "studio.Studio",
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="works",
    )
    composer = models.CharField(max_length=120, blank=True, validators=[one_line])
    title = models.CharField(max_length=160, validators=[one_line])
    opus = models.CharField(max_length=40, blank=True, validators=[one_line])
    number = models.CharField(max_length=20, blank=True, validators=[one_line])
    key = models.CharField(max_length=30, blank=True, validators=[one_line])
    kind = models.CharField(max_length=20, choices=Kind.choices, default=Kind.PIECE)
    techniques = models.JSONField(default=list, blank=True, help_text=_("A list of short words."))
    difficulty = models.PositiveSmallIntegerField(
        null=True,
        blank=True,
        validators=[MinValueValidator(1, TOO_LITTLE), MaxValueValidator(10, TOO_MUCH)],
    )
    sure = models.CharField(max_length=8, choices=Sure.choices, default=Sure.OWN)
    source = models.CharField(max_length=300, blank=True)
    catalogue_key = models.CharField(max_length=200, blank=True, db_index=True)

    objects = WorkQuerySet.as_manager()

    class Meta:
        ordering = ["composer", "title", "opus", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["catalogue_key"],
                condition=Q(studio__isnull=True),
                name="work_once_in_catalogue",
            ),
        ]

    def __str__(self) -> str:
        return self.short_title

    @property
    def short_title(self) -> str:
        """Title with opus and number, as a teacher would say it."""
        opus = self.opus
        if opus and not opus[0].isalpha():
            opus = gettext("op. {opus}").format(opus=opus)
        number = gettext("no. {number}").format(number=self.number) if self.number else ""
        return ", ".join(filter(None, [self.told_title, " ".join(filter(None, [opus, number]))]))

    @property
    def told_title(self) -> str:
        """One of the shared catalogue as it is called here; the teacher's own as she wrote it."""
        return self.title if self.studio_id else told(self.title)

    @property
    def told_composer(self) -> str:
        """As `told_title`: "George Frideric Handel", in German "Georg Friedrich Händel"."""
        return self.composer if self.studio_id else told(self.composer)

    @property
    def told_source(self) -> str:
        return self.source if self.studio_id else told(self.source)

    @property
    def told_techniques(self) -> list[str]:
        return [told_technique(word) for word in self.techniques]


class Bowing(models.Model):
    """A bowing pattern the teacher clicked together herself."""

    studio = models.ForeignKey("studio.Studio", on_delete=models.CASCADE, related_name="bowings")
    name = models.CharField(max_length=60, validators=[one_line])
    pattern = models.JSONField()
    created = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class Idea(models.Model):
    """Something to explore: no goal, no tempo, no tick owed. Without a studio it is shared."""

    studio = models.ForeignKey(
        "studio.Studio",
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="ideas",
    )
    title = models.CharField(max_length=60, validators=[one_line])
    text = models.CharField(max_length=240, validators=[one_line])

    class Meta:
        ordering = ["title"]
        constraints = [
            models.UniqueConstraint(
                fields=["title"],
                condition=Q(studio__isnull=True),
                name="idea_once_in_the_list",
            ),
        ]

    def __str__(self) -> str:
        return self.told_title

    @property
    def told_title(self) -> str:
        """The list's title in the language spoken now; a teacher's as she typed it."""
        return self.title if self.studio_id else told(self.title)

    @property
    def told_text(self) -> str:
        return self.text if self.studio_id else told(self.text)
