"""The words of the shared catalogue in the language spoken now; what is stored stays English.

Here they stand once more, so that they come into the list of sentences to translate; a test
compares them with the data files.
"""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext, gettext_noop

TECHNIQUES: Final = (
    gettext_noop("3/4 bowing"),
    gettext_noop("accelerando"),
    gettext_noop("accents"),
    gettext_noop("arpeggios"),
    gettext_noop("cadenza"),
    gettext_noop("canon"),
    gettext_noop("cantabile"),
    gettext_noop("cantabile introduction"),
    gettext_noop("chords"),
    gettext_noop("chromatic fingering"),
    gettext_noop("collé"),
    gettext_noop("dotted rhythm"),
    gettext_noop("double stops"),
    gettext_noop("détaché"),
    gettext_noop("ensemble"),
    gettext_noop("extensions"),
    gettext_noop("finger dexterity"),
    gettext_noop("first position"),
    gettext_noop("fugue"),
    gettext_noop("G string"),
    gettext_noop("grace notes"),
    gettext_noop("harmonics"),
    gettext_noop("legato"),
    gettext_noop("long slurs"),
    gettext_noop("martelé"),
    gettext_noop("mixed bowing"),
    gettext_noop("mute"),
    gettext_noop("octaves"),
    gettext_noop("portato"),
    gettext_noop("rhythm"),
    gettext_noop("rhythm variation"),
    gettext_noop("ricochet"),
    gettext_noop("sautillé"),
    gettext_noop("shifting"),
    gettext_noop("slow legato"),
    gettext_noop("slurs"),
    gettext_noop("spiccato"),
    gettext_noop("staccato"),
    gettext_noop("string crossing"),
    gettext_noop("sustained tone"),
    gettext_noop("syncopation"),
    gettext_noop("third position"),
    gettext_noop("tremolo"),
    gettext_noop("trill"),
    gettext_noop("triplets"),
    gettext_noop("vibrato"),
)

# Title and text.
IDEAS: Final = (
    (
        gettext_noop("Weather report"),
        gettext_noop(
            "Play today’s weather. Rain is plucked, wind is a light bow near the "
            "fingerboard, thunder lives low on the G string."
        ),
    ),
    (
        gettext_noop("Question and answer"),
        gettext_noop(
            "One string asks, another answers. Does your question go up at the end, or down?"
        ),
    ),
    (
        gettext_noop("Harmonic hunt"),
        gettext_noop(
            "Touch a string as lightly as a feather and slide along it while you bow. "
            "Where does it whistle? How many whistles can you find?"
        ),
    ),
    (
        gettext_noop("Tune from the kitchen"),
        gettext_noop(
            "Which song did you hear today? Find its first notes by ear. Start on any "
            "string you like."
        ),
    ),
    (
        gettext_noop("Sun behind a cloud"),
        gettext_noop(
            "Take a tune you know and lower some of its second fingers. How does the story change?"
        ),
    ),
    (
        gettext_noop("Name tune"),
        gettext_noop(
            "Spell a name. The letters A to G are notes, every other letter is a rest or "
            "an open string. Play it like the person."
        ),
    ),
    (
        gettext_noop("The night train"),
        gettext_noop(
            "One open string is the wheels. Leave the station slowly, cross a bridge, "
            "whistle in the tunnel, stop at home."
        ),
    ),
    (
        gettext_noop("Five good notes"),
        gettext_noop(
            "Use only D, E, F sharp, A and B, in any order. They always sound well "
            "together. Make a tune to fall asleep to."
        ),
    ),
    (
        gettext_noop("Deep river"),
        gettext_noop(
            "Keep the open D string sounding and wander about on the A string. Which "
            "notes rub, which ones rest?"
        ),
    ),
    (
        gettext_noop("Picture on the stand"),
        gettext_noop(
            "Put a postcard or a drawing on the stand and play it from left to right. "
            "What do its colours sound like?"
        ),
    ),
    (
        gettext_noop("Waltz me, march me"),
        gettext_noop("Take a song you know and dance it in three. Now march it in two."),
    ),
    (
        gettext_noop("Find the ring"),
        gettext_noop(
            "Play a D on the A string with the third finger. When it is in tune, the "
            "open D hums along. Which other notes wake a string?"
        ),
    ),
    (
        gettext_noop("Shortest film music"),
        gettext_noop(
            "Turn off the sound of a film for one minute and play what should be heard. "
            "Doors and footsteps count too."
        ),
    ),
    (
        gettext_noop("Sing with a machine"),
        gettext_noop(
            "The fridge, the kettle, the rain pipe: what note do they hum? Find it, then "
            "play a tune around it."
        ),
    ),
    (
        gettext_noop("Sunrise bow"),
        gettext_noop(
            "Begin so softly that nobody can say when the note started. Let it grow, "
            "shine and vanish."
        ),
    ),
    (
        gettext_noop("One-finger song"),
        gettext_noop(
            "Play a whole tune with one single finger, sliding from note to note. Which "
            "finger is the best singer?"
        ),
    ),
    (
        gettext_noop("Animal walk"),
        gettext_noop("Play a cat, a beetle, an old dog, a heron. Let somebody guess which."),
    ),
    (
        gettext_noop("Secret writing"),
        gettext_noop(
            "Invent your own signs: dots, waves, hills, teeth. Write four of them down "
            "and play them twice in the same way."
        ),
    ),
    (
        gettext_noop("Plucked guitar"),
        gettext_noop(
            "Hold the violin like a guitar and pluck a chord on two strings. Sing "
            "something over it."
        ),
    ),
    (
        gettext_noop("Five moods in a hat"),
        gettext_noop(
            "Write proud, sleepy, secret, cross and dizzy on slips of paper. Draw one "
            "and play a line of anything like that."
        ),
    ),
    (
        gettext_noop("The best corner"),
        gettext_noop(
            "Play one long note in three corners of the home. Where does the room answer "
            "best? What would you play there?"
        ),
    ),
    (
        gettext_noop("What was for lunch"),
        gettext_noop(
            "Say what you ate, over and over, until it turns into a rhythm. Play that "
            "rhythm on one string, then on two."
        ),
    ),
    (
        gettext_noop("Silent concert"),
        gettext_noop(
            "Finger a favourite without the bow and hear it inside your head. Play only "
            "the last note aloud. Was it the one you heard?"
        ),
    ),
    (
        gettext_noop("Other door"),
        gettext_noop(
            "Start a tune you know on another string. Which fingers have to change to keep it true?"
        ),
    ),
    (
        gettext_noop("Five slow colours"),
        gettext_noop(
            "Let one long bow wander from the bridge to the fingerboard and back. Give "
            "each sound the name of a colour."
        ),
    ),
    (
        gettext_noop("Missing notes"),
        gettext_noop(
            "Play a favourite and leave out every open string, but keep the time. Now "
            "somebody else claps in the holes."
        ),
    ),
    (
        gettext_noop("Echo bird"),
        gettext_noop(
            "Listen for a bird, a bell or a horn outside and answer it on the violin. "
            "Does it answer you?"
        ),
    ),
    (
        gettext_noop("Three-minute listener"),
        gettext_noop(
            "Choose a recording of a violinist and listen for three minutes with closed "
            "eyes. Then try one single thing you noticed."
        ),
    ),
    (
        gettext_noop("Band for a singer"),
        gettext_noop(
            "Somebody at home sings. Find two open strings that fit and play a rhythm "
            "under the voice."
        ),
    ),
    (
        gettext_noop("Tune that comes home"),
        gettext_noop(
            "Leave from an open string, wander as far as you dare, and find the way "
            "back. How do you know that you are home?"
        ),
    ),
)
# Where a row of works is from, and the one title that names nothing but a kind.
TEXTS: Final = (
    gettext_noop("Encyclopaedia article on the collection; key from memory"),
    gettext_noop("Method-book exercise"),
    gettext_noop("Pages on the variations and their strokes; key from memory"),
    gettext_noop("Publisher’s note and a review"),
    gettext_noop("Publisher’s text of the edition"),
    gettext_noop("Review in a music teachers’ magazine"),
    gettext_noop("Review in a music teachers’ magazine; opus, movement from memory"),
    gettext_noop("Review in a music teachers’ magazine; the rest from memory"),
    gettext_noop("Study notes on op. 45 and op. 54"),
    gettext_noop("Study notes on op. 45 and op. 54; number and key from memory"),
    gettext_noop("Tune collections of Aird and Ryan"),
)


def told(words: str) -> str:
    """Words of the catalogue, translated; others as they are."""
    return gettext(words) if words else ""


def told_technique(word: str) -> str:
    """A technique; a word of the teacher's own is shown as she typed it."""
    return gettext(word) if word in TECHNIQUES else word


def technique_from(typed: str) -> str:
    """The catalogue's word for what a teacher typed in her language, else what she typed."""
    return next((word for word in TECHNIQUES if typed == gettext(word)), typed)
