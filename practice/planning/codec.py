"""Frozen dataclasses to plain JSON values and back, with no loss."""

from __future__ import annotations

import datetime as dt
import types
import typing
from dataclasses import fields, is_dataclass
from enum import StrEnum
from functools import cache
from typing import Any, TypeVar, cast

T = TypeVar("T")


def to_json(value: object) -> dict[str, Any]:
    """A dataclass as a dict: tuples become lists, days and times ISO 8601 text."""
    return cast(dict[str, Any], _plain(value))


def _plain(value: Any) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if isinstance(value, dt.date | dt.time):
        return value.isoformat()
    return str(value) if isinstance(value, str) else value


def from_json(kind: type[T], data: object) -> T:
    """The dataclass back; fields left out take their default. Raises ValueError with the field."""
    return cast(T, _read(kind, data, kind.__name__))


def _read(kind: Any, data: Any, where: str) -> Any:
    origin = typing.get_origin(kind)
    if origin in (types.UnionType, typing.Union):
        inner = next(arg for arg in typing.get_args(kind) if arg is not type(None))
        return None if data is None else _read(inner, data, where)
    if origin is tuple:
        if not isinstance(data, list):
            raise ValueError(f"{where} must be a list, not {data!r}.")
        inner = typing.get_args(kind)[0]
        return tuple(_read(inner, each, f"{where}[{n}]") for n, each in enumerate(data))
    if is_dataclass(kind):
        return _read_fields(kind, data, where)
    return _read_plain(kind, data, where)


def _read_fields(kind: Any, data: Any, where: str) -> Any:
    if not isinstance(data, dict):
        raise ValueError(f"{where} must be an object, not {data!r}.")
    hints = _hints(kind)
    if unknown := sorted(set(data) - set(hints)):
        raise ValueError(f"{where} has no field {unknown[0]}.")
    values = {name: _read(hints[name], each, f"{where}.{name}") for name, each in data.items()}
    try:
        return kind(**values)
    except TypeError as error:
        raise ValueError(f"{where} is not complete: {error}.") from error


def _read_plain(kind: Any, data: Any, where: str) -> Any:
    try:
        if issubclass(kind, dt.date | dt.time):
            return kind.fromisoformat(data)
        if issubclass(kind, StrEnum):
            return kind(data)
    except (TypeError, ValueError) as error:
        raise ValueError(f"{where} cannot be {data!r}.") from error
    if type(data) is not kind:
        raise ValueError(f"{where} must be {kind.__name__}, not {data!r}.")
    return data


@cache
def _hints(kind: Any) -> dict[str, Any]:
    hints = typing.get_type_hints(kind)
    return {field.name: hints[field.name] for field in fields(kind)}
