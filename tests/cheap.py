"""What tests do a thousand times and do not test, at little cost."""

import gc
from typing import Any

from argon2 import PasswordHasher
from sqlalchemy import Engine
from sqlalchemy.dialects.sqlite.pysqlite import SQLiteDialect_pysqlite
from sqlalchemy.util import LRUCache

#: A password's hash, for whoever signs in often and does not test how strong it is.
CHEAP = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)

#: Objects that come alive before the young ones are looked through. Python's usual 700 makes every ninth second of the
#: tests one of the collector: all tests and libraries are alive, and it goes through them again and again.
YOUNG = 200_000


def collect_seldom() -> None:
    """Garbage in circles stays until somebody calls `gc.collect`."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(YOUNG, 1000, 1000)


class OneCache:
    """Engines' cache of compiled statements: one for all that speak to SQLite, the others have their own."""

    def __init__(self) -> None:
        self.shared: LRUCache[Any, Any] = LRUCache(2000)

    def __get__(self, engine: Engine, _: type[Engine]) -> Any:
        return self.shared if type(engine.dialect) is SQLiteDialect_pysqlite else vars(engine)["own_cache"]

    def __set__(self, engine: Engine, cache: Any) -> None:
        vars(engine)["own_cache"] = cache


def compile_statements_once() -> None:
    """Every server of this process takes over the SQL that another one has compiled for the same question. A shop's
    server does that for itself, once in its life; tests start one server after the other.

    A statement is known under its dialect: each engine has one of its own, and those for SQLite do not differ.
    """
    for name, method in {
        "__eq__": lambda one, other: type(one) is type(other),
        "__hash__": lambda one: hash(type(one)),
    }.items():
        setattr(SQLiteDialect_pysqlite, name, method)
    setattr(Engine, "_compiled_cache", OneCache())  # noqa: B010 - nobody's attribute to assign
