"""A second database beside the studio's own, for as long as a `with` lasts."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from uuid import uuid4

from django.apps import apps
from django.apps.registry import Apps
from django.core.management import call_command
from django.db import DEFAULT_DB_ALIAS, connections
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.recorder import MigrationRecorder
from django.db.utils import load_backend

from studio.running import environment
from studio.running.first_start import unknown_steps


@contextmanager
def beside(database: dict[str, Any]) -> Iterator[str]:
    """Open a database by its settings; yields its alias."""
    alias = f"beside-{uuid4().hex[:8]}"
    complete = connections.configure_settings({DEFAULT_DB_ALIAS: database})[DEFAULT_DB_ALIAS]
    wrapper = load_backend(complete["ENGINE"]).DatabaseWrapper(complete, alias)
    connections[alias] = wrapper  # known to this thread alone
    try:
        yield alias
    finally:
        wrapper.close()
        del connections[alias]


def file_beside(path: Path) -> Any:
    """A scratch SQLite file, thrown away should the process die: nothing waits for the disk."""
    settings = environment.sqlite(path)
    settings["OPTIONS"]["init_command"] = (
        "PRAGMA journal_mode=MEMORY; PRAGMA synchronous=OFF; PRAGMA foreign_keys=ON;"
    )
    return beside(settings)


def bring_up(alias: str) -> None:
    """Bring a database up to this version of the program."""
    call_command("migrate", database=alias, interactive=False, verbosity=0, run_syncdb=True)


def bring_up_like(alias: str, other: str) -> Apps:
    """Bring an empty database up to where `other` stands, maybe behind; the models of there."""
    if not waiting_migrations(other):
        bring_up(alias)
        return apps
    executor = MigrationExecutor(connections[alias])
    nodes = executor.loader.graph.node_map
    taken = set(MigrationRecorder(connections[other]).applied_migrations()) & set(nodes)
    passed = {
        node
        for node in taken
        if any(child.key in taken and child.key[0] == node[0] for child in nodes[node].children)
    }
    latest = sorted(taken - passed)
    executor.migrate(latest)
    return executor.loader.project_state(latest).apps


def migrations_in(alias: str) -> set[str]:
    applied = MigrationRecorder(connections[alias]).applied_migrations()
    return {f"{app}.{name}" for app, name in applied}


def unknown_migrations(alias: str) -> list[str]:
    """Steps taken by a database that this version does not have: it comes from a newer one."""
    return unknown_steps(MigrationExecutor(connections[alias]))


def waiting_migrations(alias: str) -> int:
    executor = MigrationExecutor(connections[alias])
    return len(executor.migration_plan(executor.loader.graph.leaf_nodes()))
