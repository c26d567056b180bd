"""``python -m gddcast``: the same as ``gddcast``."""

from gddcast.cli import main

if __name__ == "__main__":
    main()
