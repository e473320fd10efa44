"""`python -m build123` is the same as the command `build123`."""

from build123.cli import main

if __name__ == "__main__":
    main()
