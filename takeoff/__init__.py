"""Roof and cladding takeoff: from the shape of a house to cut lists, an order sheet and drawings."""

__version__ = "0.1.0"
