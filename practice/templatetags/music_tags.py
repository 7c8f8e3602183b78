"""Names of music in the studio's names of notes: what is stored in English, as it is shown."""

from django import template

from practice.music import naming
from practice.music.describe import octaves_text
from practice.music.keys import key_told
from practice.music.scales import form_told

register = template.Library()

register.filter("key_told", key_told)
register.filter("string_name", naming.string_name)
register.filter("mode_told", naming.mode_in_words)
register.filter("octaves_told", octaves_text)
register.filter("form_told", form_told)
