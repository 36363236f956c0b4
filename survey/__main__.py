"""`python -m survey` is `floatwall`."""

from survey.cli import main

if __name__ == "__main__":
    main()
