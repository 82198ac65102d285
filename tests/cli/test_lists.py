"""`takeoff settings` and `takeoff products`: what a job may set and name."""

from __future__ import annotations

import pytest

from takeoff.basics.errors import UsageError
from takeoff.listing import product_lines, setting_lines
from takeoff.read.catalogue import PRODUCTS, default_settings, load_catalogue


def test_settings_are_listed_with_value_bounds_and_basis() -> None:
    lines = list(setting_lines("hip_trim_mm"))
    assert lines == [
        "hip_trim_mm: 25 mm   (0 to 500 mm)",
        "    sheets short of the hip line, square to it; common practice, no source",
    ]
    assert "fascia_kind: by_gutter   (by_gutter, board, metal or none)" in list(setting_lines("fascia"))
    assert "buy_raked_pairs: false   (true or false)" in list(setting_lines("raked pairs"))
    assert "spare_sheets: 1 each   (whole, 0 to 1 000 each)" in list(setting_lines("spare"))
    assert len(list(setting_lines())) == 2 * len(default_settings())


def test_a_word_that_no_setting_has_is_answered_with_the_nearest() -> None:
    with pytest.raises(UsageError, match=r"no setting is called 'hipp_trim'; did you mean hip_trim_mm\?"):
        list(setting_lines("hipp_trim"))


def test_products_are_listed_by_the_id_a_job_names() -> None:
    text = "\n".join(product_lines())
    for group in PRODUCTS:
        for product in getattr(load_catalogue(), group):
            assert f"  {product}: " in text
    assert next(product_lines("gutters")) == "gutters:"
    with pytest.raises(UsageError, match=r"no kind of product is called 'guters'; did you mean gutters\?"):
        list(product_lines("guters"))
