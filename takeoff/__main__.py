"""`python -m takeoff`, and the command `takeoff`: the command line in a process of its own."""

from __future__ import annotations

from takeoff.basics.one_run import for_one_run, whole_end


def main() -> None:
    """Run the command line and leave with its exit code."""
    end = whole_end()
    for_one_run()
    from takeoff.cli import main as command_line  # what is loaded from here on is loaded for one run

    try:
        command_line()
    except SystemExit as left:
        if isinstance(left.code, int):
            end(left.code)
        raise


if __name__ == "__main__":
    main()
