"""The checked-in factor table is exactly what the registry writes."""

import pint
import pytest

from standbook import units
from standbook.trade import factors


def test_the_checked_in_factor_table_is_what_the_registry_writes_today() -> None:
    assert units.FACTORS_FILE.read_text(encoding="utf-8") == units.source_text()


def test_every_kind_names_its_canonical_unit_and_that_unit_changes_nothing() -> None:
    for kind, unit in factors.CANONICAL.items():
        assert factors.FACTORS[kind][unit] == (1.0, 0.0), kind


def test_kinds_that_share_a_dimension_share_no_list_of_units() -> None:
    lists = [frozenset(units) for units in factors.FACTORS.values()]
    assert len(set(lists)) == len(lists)
    assert "J" not in factors.FACTORS["torque"]
    assert "N*m" not in factors.FACTORS["energy"]
    assert "lb" not in factors.FACTORS["force"]
    assert "lbf" not in factors.FACTORS["mass"]


def test_a_unit_of_another_kind_has_no_factor() -> None:
    with pytest.raises(pint.DimensionalityError):
        units.scale_between(units.registry(), "psi", "mm")


def test_the_registry_does_not_know_the_angle_that_is_also_called_mil() -> None:
    assert "mil" not in units.registry()
