"""Settings of the server that a test kills: a folder of its own, tables without migrations."""

from studio.settings import *  # noqa: F403

MIGRATION_MODULES = {"studio": None, "practice": None}
