"""The front as the compiler holds it: one record that functions hand on by reference. Imports numba."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from numba import types
from numba.experimental import structref

from takeoff.shape.skeleton.front import Front

NAMES = [field.name for field in fields(Front)]


@structref.register
class FrontType(types.StructRef):  # type: ignore[misc]
    """Compiler type of the record."""

    def preprocess_fields(self, fields: Any) -> Any:
        """Arrays as they are, whatever literal they came from."""
        return tuple((name, types.unliteral(kind)) for name, kind in fields)


class FrontRecord(structref.StructRefProxy):  # type: ignore[misc]
    """Made in compiled code from one array a field, in the order of Front's fields."""


structref.define_proxy(FrontRecord, FrontType, NAMES)
