"""`python -m takeoff` is the command line."""

from __future__ import annotations

from takeoff.cli import main

main()
