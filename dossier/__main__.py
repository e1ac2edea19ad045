"""`dossier` and `python -m dossier`: nothing is loaded before a Ctrl-C ends it without a traceback.

The second is for a checkout that was moved, or an installation without scripts.
"""

import sys

SELDOM = 50_000
"""Objects between two looks for garbage: most of what a command makes stays to its end."""


def main() -> None:
    """Run the command line.  Half of a short command's time is the loading of its modules."""
    try:
        import gc

        gc.set_threshold(SELDOM)
        from dossier.cli import main as commands

        try:
            commands()
        finally:
            gc.freeze()  # the end of a process need not look for garbage
    except KeyboardInterrupt:
        sys.stderr.write("dossier: Stopped.\n")
        sys.exit(130)


if __name__ == "__main__":
    main()
