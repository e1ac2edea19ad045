"""`python -m dossier`, for a checkout that was moved or an installation without scripts."""

from dossier.cli import main

if __name__ == "__main__":
    main()
